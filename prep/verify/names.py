"""What things are called in findings: units by manufacturer and serial, people by name.

The names are read from the rows, which may be what was altered; a finding has the ids beside them.
"""

from typing import Final
from uuid import UUID

from prep.models import Event, Person, Unit

SHORT: Final = 8  # characters of an id that has no name; a finding has all of it beside


def unit_name(unit: str | UUID) -> str:
    """Manufacturer and serial number; the id where there is no row of it."""
    try:
        key = UUID(str(unit))
    except ValueError:
        return str(unit)
    row = Unit.objects.filter(pk=key).values_list("maker", "serial").first()
    return " ".join(row) if row else str(unit)


def buyer_name(buyer: str) -> str:
    """The beginning of a buyer's id and the units sold to them: a report keeps no personal data."""
    units = Unit.objects.filter(buyer=buyer).order_by("maker", "serial")
    sold = ", ".join(f"{maker} {serial}" for maker, serial in units.values_list("maker", "serial"))
    return f"{buyer[:SHORT]} ({sold})" if sold else buyer


def person_name(person: str) -> str:
    """The printed name of a person; by the id where there is no account of it."""
    row = Person.objects.filter(pk=int(person)).first() if person.isdecimal() else None
    return str(row) if row else person


def stream_name(stream: str, name: str) -> str:
    """What a stream is about."""
    named = {"unit": unit_name, "buyer": buyer_name, "person": person_name}.get(stream)
    return named(name) if named else name


def event_named(event: Event) -> dict[str, str | int]:
    """What a sentence names of an event, with what a program needs to find it."""
    return {
        "id": event.pk,
        "kind": event.kind,
        "version": event.version,
        "stream": event.stream,
        "owner": stream_name(event.stream, event.stream_id),
        "owner_id": event.stream_id,
        "by": event.named_name or event.actor_name,
        "recorded": event.recorded.isoformat(),
    }
