"""Index rows of a unit, derived from its record alone.

The tables are an index of the log. The write path writes exactly what `rows` returns, and the
verification folds the log again and compares.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

import msgspec
from msgspec.structs import replace

from prep.record.unit.commands.registrations import as_recorded
from prep.record.unit.readiness import Answer, readiness
from prep.record.unit.sheet import FINISHED, Status, statuses
from prep.record.unit.state import HANDED_OVER, RELEASED, Box, Flag, Record, Shortage, Signature
from prep.record.unit.views.entry_view import EntryView, entry_view
from prep.record.unit.views.unit_state import state_of
from prep.rules.identity.look_alikes import look_alike_key, plain_key

Row = dict[str, Any]

LONGEST_ALIKE: Final = 400
# How near a unit is to its customer; lists of equal units begin with the nearest.
RANKS: Final = {Answer.READY_FOR_BUYER: 0, Answer.READY_FOR_STOCK: 1, Answer.NOT_READY: 2}
GONE: Final = 3  # handed over: after all that may still be sold


@dataclass(frozen=True)
class Rows:
    """Row values by key, one mapping for each table."""

    unit: Row
    steps: dict[str, Row]
    readings: dict[str, Row]
    flags: dict[str, Row]
    sign_offs: dict[str, Row]
    shortages: dict[str, Row]


def rows(record: Record) -> Rows:
    """All index rows of a unit."""
    status_of = statuses(record)
    return Rows(
        unit=_unit(record, status_of),
        steps=_steps(record, status_of),
        readings={row["id"]: row for box in record.boxes.values() for row in _readings(box)},
        flags={flag.id: _flag(flag) for flag in record.flags.values()},
        sign_offs=_sign_offs(record),
        shortages={key: _shortage(shortage) for key, shortage in record.shortages.items()},
    )


def _unit(record: Record, status_of: Mapping[str, Status]) -> Row:
    answer = readiness(record)
    counted = [s for s in status_of.values() if s is not Status.DOES_NOT_APPLY]
    received = record.received
    handed_over = record.handover
    return {
        "maker": record.maker,
        "manufacturer": record.manufacturer,
        "serial": record.serial,
        "serial_key": plain_key(record.serial),
        "look_alike_key": look_alike_key(record.serial),
        "former_serials": "\n".join(record.former_serials),
        "joined_into": record.joined_into[0].unit if record.joined_into else "",
        "place": record.place,
        "model": record.model.code if record.model else "",
        "model_name": record.model.name if record.model else "",
        "options": list(record.options),
        "state": state_of(record, answer).value,
        "version": record.version,
        "procedure": record.sheet.procedure if record.sheet else "",
        "revision": record.sheet.revision if record.sheet else 0,
        "ready_for_stock": answer.ready_for_stock,
        "ready_for_buyer": answer.ready_for_buyer,
        "reasons": (reasons := [reason.stored() for reason in answer.reasons]),
        "first_reason": reasons[0] if reasons else None,
        "reason_count": len(reasons),
        "alike": _alike(record),
        "readiness_rank": GONE if handed_over else RANKS[answer.answer],
        "steps_done": sum(s in FINISHED for s in counted),
        "steps_total": len(counted),
        "steps_left": sum(s not in FINISHED for s in counted),
        "open_flags": len(record.open_flags()),
        "buyer": record.buyer.id if record.buyer and not record.joined_into else "",
        "tractor": record.tractor.code if record.tractor else "",
        "received": received.happened if received else None,
        "released": record.release.stamp.happened if record.release else None,
        "handed_over": handed_over[1].happened if handed_over else None,
        "registration": as_recorded(record).state,
        "registration_due": handed_over[0].registration_due if handed_over else "",
    }


def _alike(record: Record) -> str:
    """The same text for units of one model with the same options, the model's name first."""
    if record.model is None:
        return ""
    model, options = record.model, ", ".join(record.options)
    return f"{model.name} | {model.code} | {options}"[:LONGEST_ALIKE]


def _shortage(shortage: Shortage) -> Row:
    event, arrived = shortage.event, shortage.arrived
    return {
        "id": event.shortage,
        "part": event.part,
        "count": event.count,
        "stops_release": event.stops_release,
        "expected": event.expected,
        "lent_to": event.lent_to,
        "noted": shortage.stamp.happened,
        "noted_by": shortage.stamp.name,
        "arrived": arrived.happened if arrived else None,
        "arrived_by": arrived.name if arrived else "",
    }


def _json(struct: msgspec.Struct) -> Any:
    """A struct as a JSON column gives it back."""
    return msgspec.json.decode(msgspec.json.encode(struct))


def _steps(record: Record, status_of: Mapping[str, Status]) -> dict[str, Row]:
    if record.procedure is None:
        return {}
    return {
        code: {
            "step": code,
            "ordinal": ordinal,
            "section": record.procedure.section_of[code].title,
            "title": record.procedure.steps[code].title,
            "status": status.value,
        }
        for ordinal, (code, status) in enumerate(status_of.items())
    }


def _readings(box: Box) -> list[Row]:
    return [_reading(entry_view(entry), current=entry is box.current) for entry in box.entries]


def _reading(entry: EntryView, *, current: bool) -> Row:
    return {
        "id": entry.id,
        "step": entry.step,
        "line": entry.line,
        "position": entry.position,
        "kind": entry.kind.value,
        "current": current,
        "person": entry.stamp.actor,
        "person_name": entry.stamp.name,
        "happened": entry.stamp.happened,
        "recorded": entry.stamp.recorded,
        "raw": entry.raw,
        "verdict": entry.verdict,
        "quantity": entry.quantity,
        "canonical": entry.canonical,
        "unit_symbol": entry.canonical_unit,
        "limit": _json(replace(entry.limit, computed=None)) if entry.limit else None,
        "limit_source": entry.limit.source if entry.limit else "",
        "instrument": entry.instrument.code if entry.instrument else "",
        "instrument_due": entry.instrument.due if entry.instrument else "",
    }


def _flag(flag: Flag) -> Row:
    return {
        "id": flag.id,
        "origin": flag.about.origin,
        "about": _json(flag.about),
        "step": flag.box[0],
        "open": flag.open,
        "raised": flag.stamp.happened,
        "raised_by": flag.stamp.name,
        "closed": flag.closed.happened if flag.closed else None,
        "closed_by": flag.closed.name if flag.closed else "",
        "concession": flag.concession.reason if flag.concession else "",
    }


def _sign_offs(record: Record) -> dict[str, Row]:
    sign_offs: dict[str, Row] = {}
    for code, state in record.steps.items():
        for signature in state.past_signatures:
            _add_sign_off(sign_offs, code, signature, stands=False)
        for signature in state.signatures.values():
            _add_sign_off(sign_offs, code, signature, stands=True)
    for release in record.releases:
        signature = Signature(RELEASED, release.event.content, release.stamp)
        _add_sign_off(sign_offs, "", signature, stands=release.withdrawn is None)
    if record.handover:
        event, stamp = record.handover
        signature = Signature(HANDED_OVER, event.recipient_digest, stamp)
        _add_sign_off(sign_offs, "", signature, stands=True)
    return sign_offs


def _add_sign_off(
    sign_offs: dict[str, Row], step: str, signature: Signature, *, stands: bool
) -> None:
    stamp = signature.stamp
    sign_offs[str(stamp.version)] = {
        "version": stamp.version,
        "step": step,
        "meaning": signature.meaning,
        "content": signature.content,
        "person": stamp.actor,
        "person_name": stamp.name,
        "happened": stamp.happened,
        "stands": stands,
    }
