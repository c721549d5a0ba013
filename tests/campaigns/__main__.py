"""Make many changes: `python -m tests.campaigns [COUNT]`, 2,400 where no count is given."""

import os
import sys
from pathlib import Path

import pytest

from tests.campaigns.plan import VARIABLE

WHOLE = 2400


def main() -> int:
    """Run the campaign with so many changes, and say which went unseen."""
    os.environ[VARIABLE] = sys.argv[1] if len(sys.argv) > 1 else str(WHOLE)
    return int(pytest.main([str(Path(__file__).parent), "-n", "auto", "-rP", "-v"]))


if __name__ == "__main__":
    sys.exit(main())
