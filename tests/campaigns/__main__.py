"""Make many changes: `python -m tests.campaigns [COUNT [KIND]]`, 2,400 where no count is given.

With a kind, one of `tests.campaigns.plan.SHARES`, all of them are of that kind.
"""

import os
import sys
from pathlib import Path

import pytest

from tests.campaigns.plan import SHARES, VARIABLE

WHOLE = 2400


def main() -> int:
    """Run the campaign with so many changes, and say which went unseen."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else WHOLE
    chosen = []
    if len(sys.argv) > 2:
        kind = sys.argv[2]
        count, chosen = -(-count * 100 // SHARES[kind]), ["-k", kind]
    os.environ[VARIABLE] = str(count)
    return int(pytest.main([str(Path(__file__).parent), "-n", "auto", "-rP", "-v", *chosen]))


if __name__ == "__main__":
    sys.exit(main())
