"""A tablet that had no signal for a while, and sends what it kept as one batch."""

from datetime import UTC, datetime, timedelta
from typing import Any, Final
from uuid import uuid4

from prep.management.demo.api_client import Client
from prep.management.demo.dealership import PASSWORD

WITHOUT_SIGNAL: Final = timedelta(minutes=40)


def send_what_was_kept(address: str) -> str:
    """Send a batch for a unit in preparation; tells what became of its commands.

    One of them is not taken: its entry was made before the cautions of the step were read. It is
    kept, and stands on the unit's page.
    """
    noel = Client(address, "noel", PASSWORD)
    found = noel.get("units?state=received&order=oldest&limit=1").body["items"]
    unit = found[0]["id"]
    noel.post(f"units/{unit}/sheet/start", {})
    sheet = noel.get(f"units/{unit}/sheet").body
    step = next(s for section in sheet["sections"] for s in section["steps"] if s["cautions"])
    check = next(line for line in step["lines"] if not (line["quantity"] or line["choices"]))
    now = datetime.now(UTC)
    kept: list[dict[str, Any]] = [
        {"command": "location.set", "place": "Wash bay"},
        {
            "command": "shortage.note",
            "part": "Shield, driveline, rear half",
            "count": 1,
            "stops_release": True,
        },
        {
            "command": "check.complete",
            "step": step["step"],
            "line": check["line"],
            "answer": True,
        },
    ]
    answer = noel.post(
        "commands",
        {
            "device": {"id": "Tablet 2", "clock": now.isoformat()},
            "commands": [
                {
                    "id": str(uuid4()),
                    "target": unit,
                    "happened": (now - WITHOUT_SIGNAL + timedelta(minutes=place)).isoformat(),
                    "command": command,
                }
                for place, command in enumerate(kept)
            ],
        },
    )
    became = ", ".join(outcome["status"] for outcome in answer.body["outcomes"])
    return (
        f"A tablet without a signal sent {len(kept)} commands for {found[0]['serial']}: {became}."
    )
