"""A spreadsheet of arrivals, as an office sends it: checked first, then run without its bad row."""

import time
from pathlib import Path
from typing import Any, Final
from urllib.parse import urlencode

from prep.management.demo.api_client import Client
from prep.management.demo.dealership import FIXTURES, PASSWORD

ARRIVALS: Final[Path] = FIXTURES / "demo" / "arrivals.csv"
LONGEST_WAIT: Final = 60.0  # seconds
UNFINISHED: Final = ("waiting", "working")


def import_arrivals(address: str) -> list[str]:
    """Import the arrivals through the API; what there is to tell, a line each."""
    mara = Client(address, "mara", PASSWORD)
    wanted = urlencode({"kind": "units", "site": "north", "name": ARRIVALS.name})
    sent = mara.post(f"imports?{wanted}", ARRIVALS.read_bytes(), media_type="text/csv").body
    checked = _finished(mara, sent["id"])
    problem = mara.get(f"imports/{sent['id']}/problems").body["items"][0]
    mara.post(f"imports/{sent['id']}/run?skip_problems=true", {})
    run = _finished(mara, sent["id"])
    return [
        f"A spreadsheet of {checked['rows']} arrivals: {checked['fit']} can be received.",
        f"   line {problem['line']}, {problem['header']} → {problem['text']}",
        f"   without that row: {run['made']} received",
    ]


def _finished(client: Client, job: str) -> dict[str, Any]:
    """An import once its stage has ended."""
    deadline = time.monotonic() + LONGEST_WAIT
    while True:
        shown: dict[str, Any] = client.get(f"imports/{job}").body
        if shown["state"] not in UNFINISHED or time.monotonic() > deadline:
            return shown
        time.sleep(0.2)
