"""Send many requests: `python -m tests.campaigns.requests [COUNT [SEED]]`, 2,000 without a count.

The same seed sends the same requests, so that what is found can be had again.
"""

import os
import sys
from pathlib import Path

import pytest

from tests.campaigns.requests.plan import SEED_VARIABLE, VARIABLE


def main() -> int:
    """Run the campaign with so many requests, and say what went wrong."""
    for name, value in zip((VARIABLE, SEED_VARIABLE), sys.argv[1:3], strict=False):
        os.environ[name] = value
    file = Path(__file__).with_name("campaign.py")
    return int(pytest.main([str(file), "-n", "2", "-rP", "-v"]))


if __name__ == "__main__":
    sys.exit(main())
