"""Runs a Python program within limits of time, memory and output; itself run as a program.

    python bounded_program.py PROGRAM ARGUMENT …

Whoever started it bounds the time on the clock as well: where the system knows no limits of a
process, that one is left.
"""

import runpy
import sys
from typing import Final

if sys.platform != "win32":
    import resource

SECONDS: Final = 20  # of the processor
MEMORY: Final = 1024**3
OUTPUT: Final = 1024**2  # of each file it writes


def bound() -> None:
    """Take on the limits, for this process and for good."""
    if sys.platform == "win32":  # knows no such limits
        return
    limits = {
        resource.RLIMIT_CPU: SECONDS,
        resource.RLIMIT_AS: MEMORY,
        resource.RLIMIT_FSIZE: OUTPUT,
        resource.RLIMIT_CORE: 0,
    }
    for limit, most in limits.items():
        resource.setrlimit(limit, (most, most))


if __name__ == "__main__":
    bound()
    sys.argv = sys.argv[1:]
    runpy.run_path(sys.argv[0], run_name="__main__")
