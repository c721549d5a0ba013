"""Actions on instruments: register, calibrate, take out of service."""

from collections.abc import Mapping, Sequence
from typing import Any

import msgspec

from prep.actions.reference_stream import append_one, office_at
from prep.actions.write_path import Command
from prep.models import Instrument, Person
from prep.record.facts import InstrumentFacts
from prep.record.instrument.events import InstrumentRecorded
from prep.record.procedure.yaml_documents import convert, load_yaml
from prep.record.refusal import Refusal
from prep.record.roles import Context


def record_instrument(
    *, actor: Person, command: Command, site: str, facts: InstrumentFacts, reason: str
) -> None:
    """Register an instrument, enter its calibration, or take it out of service."""
    who = office_at(actor, site)
    if not reason.strip():
        raise Refusal("reason-missing", "Say what changed: registered, calibrated, dropped …")

    def index(version: int, context: Context) -> None:
        Instrument.objects.update_or_create(
            code=facts.code,
            defaults={
                "site_id": site,
                "kind": facts.kind,
                "name": facts.name,
                "due": facts.due,
                "out_of_service": facts.out_of_service,
                "version": version,
                "facts": msgspec.to_builtins(facts),
            },
        )

    append_one(
        actor=who,
        command=command,
        stream="instrument",
        stream_id=facts.code,
        site=site,
        event=InstrumentRecorded(facts, site, reason),
        index=index,
    )


def load_instruments(text: str) -> list[tuple[str, InstrumentFacts]]:
    """Instruments of a YAML list, as (site, facts). Raises DocumentError."""
    values = load_yaml(text)
    rows: Sequence[Mapping[str, Any]] = (
        values["instruments"] if isinstance(values, dict) else values
    )
    return [
        (row["site"], convert({k: v for k, v in row.items() if k != "site"}, InstrumentFacts))
        for row in rows
    ]
