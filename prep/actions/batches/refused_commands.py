"""Keeping what a refused command of a batch said, so that nothing typed is lost."""

from collections.abc import Mapping
from typing import Any, Final
from uuid import UUID, uuid5

import msgspec

from prep.actions.batches.batch import Device, Sent
from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.models import Person
from prep.queries.people import sites_of
from prep.queries.units import seen_by
from prep.record.command import Command, privacy_of
from prep.record.log import canonical_json
from prep.record.log.envelope import moment
from prep.record.moments import in_utc
from prep.record.refusal import Refusal
from prep.record.refused.commands import KeepRefused
from prep.record.roles import Actor
from prep.record.stored_refusals import stored

LONGEST: Final = 4000  # characters of a field; no field of an entry may have as many
LEFT_OUT: Final = "…"


def keep_refused(
    sent: Sent, command: type[Command] | None, refusal: Refusal, *, person: Person, device: Device
) -> None:
    """Record a refused command, once for each command id and person.

    Of somebody who works at no yard nothing is kept.
    """
    sites = sites_of(person)
    if not sites:
        return
    unit, site = _about(sent, command, person)
    given = sent.values.get("site")
    keeping = KeepRefused(
        site=site or (given if isinstance(given, str) and given in sites else ""),
        refused=str(sent.id),
        asked=sent.tag[:LONGEST],
        target=sent.target or "",
        unit=unit,
        fields=_typed(sent.values, command) if command else {},
        author=sent.author,
        happened=moment(in_utc(sent.happened)),
        refusal=_plain_refusal(refusal),
    )
    submission = Submission(refused_id(sent.id, person), device=device.id, drift=device.drift)
    try:
        perform(
            keeping,
            actor=Actor(str(person.pk), str(person), frozenset()),
            submission=submission,
        )
    except Refusal as no:
        if no.code != "command-reused":  # kept already, when it was refused for another reason
            raise


def refused_id(command: UUID, person: Person) -> UUID:
    """Id of the record of a command that somebody sent and that was refused."""
    return uuid5(command, f"refused {person.pk}")


def _about(sent: Sent, command: type[Command] | None, person: Person) -> tuple[str, str]:
    """The unit a command is about and its site; empty where this person may not see it."""
    if command is None or command.stream != "unit" or command.creates or not sent.target:
        return "", ""
    try:
        unit = UUID(sent.target)
        return str(unit), seen_by(person, unit).site
    except (ValueError, Refusal):
        return "", ""


def _typed(values: Mapping[str, Any], command: type[Command]) -> dict[str, Any]:
    """The fields of a command as they were typed, without personal and secret ones.

    What the command has no field for is left out: nobody knows whether it is personal.
    """
    private = privacy_of(command)
    known = [name for name in command.__struct_fields__ if name not in private]
    return {name: _bounded(values[name]) for name in known if name in values}


def _bounded(value: Any) -> Any:
    """A value as an event can hold it; as JSON text where it cannot, cut where it is too long."""
    try:
        if len(canonical_json.encode([[[[value]]]])) <= LONGEST:
            return value
    except canonical_json.CanonicalError:
        pass
    text = value if isinstance(value, str) else msgspec.json.encode(value).decode()
    return text if len(text) <= LONGEST else text[:LONGEST] + LEFT_OUT


def _plain_refusal(refusal: Refusal) -> dict[str, Any]:
    kept = stored(refusal)
    return {**kept, "details": _canonical(kept["details"])}


def _canonical(value: Any) -> Any:
    """Details as an event can hold them: a number that is too large for JSON as its text."""
    if isinstance(value, Mapping):
        return {name: _canonical(inner) for name, inner in value.items()}
    if isinstance(value, list):
        return [_canonical(inner) for inner in value]
    if isinstance(value, int) and abs(value) > canonical_json.LARGEST_INTEGER:
        return str(value)
    return value[:LONGEST] if isinstance(value, str) else value
