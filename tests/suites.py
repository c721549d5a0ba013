"""Public conformance data, where it lies beside the project; none of it is copied into it."""

from pathlib import Path
from typing import Final

SUITES: Final = Path(__file__).resolve().parents[2] / "shared" / "suites"
# Only these tests may be skipped where everything else must run.
ABSENT: Final = "the public test data is not beside the project"
