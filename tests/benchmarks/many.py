"""A dealership with many units: the demonstration's two dozen, and copies of their entries.

Copies are written to the log directly, each a unit of its own with leaf hashes of its own; making
thousands of units command by command would take a day and measure something else. Run with
YARDPROOF_DATA naming an empty folder (and an empty database), which is filled and left.
"""

import json
from uuid import UUID, uuid5

from django.conf import settings
from django.core.management import call_command

from prep.actions import sealing
from prep.management.demo import dealership as demonstration
from prep.management.demo import scenarios
from prep.models import Event, Unsealed
from prep.record.log import canonical_json
from prep.record.log.envelope import leaf

COPIES = UUID("2a1f1d8e-4a0b-4a61-9d1c-0f6b2c7d5e10")


def dealership(units: int) -> None:
    """Fill the database with so many units, and seal the log."""
    call_command("migrate", verbosity=0)
    if not Event.objects.filter(stream="unit").exists():
        _demonstrate()
    known = sorted(set(Event.objects.filter(stream="unit").values_list("stream_id", flat=True)))
    sources = known[:24]
    for number in range(len(known), units):
        source = Event.objects.filter(stream_id=sources[number % len(sources)])
        copies = Event.objects.bulk_create(_copied(event, number) for event in source)
        Unsealed.objects.bulk_create(Unsealed(event=event) for event in copies)
    sealing.seal()


def _demonstrate() -> None:
    """Build the demonstration; on a server's database without the unit prepared over HTTP."""
    if not settings.SERVICE:
        call_command("demo", no_serve=True)
        return
    crew = demonstration.build(lambda _line: None)
    for _ in scenarios.build(crew):
        pass
    demonstration.publish_revision(crew, "grain-cart-r2")


def _copied(event: Event, number: int) -> Event:
    event.pk = None
    event.stream_id = str(uuid5(COPIES, f"{event.stream_id} {number}"))
    event.command = uuid5(COPIES, f"{event.command} {number}")
    if event.kind == "unit.received":
        body = json.loads(event.body)
        body["serial"] += f"-{number}"
        event.body = canonical_json.encode(body).decode()
    event.leaf = leaf(event.envelope()).hex()
    return event
