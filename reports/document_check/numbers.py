"""Check of a document number: which document it is, and where that stands now."""

from typing import Any, Final, NamedTuple
from zoneinfo import ZoneInfo

from prep.actions.documents import command_of
from prep.models import Event, Site
from prep.queries import log
from prep.queries.records import record_of
from prep.queries.units import plates_of
from prep.record.unit.events import DocumentIssued, decode
from prep.record.unit.state import Record, Release
from prep.words import dates
from prep.words.documents.standings import (
    correction_text,
    misspelling_text,
    standing_advice,
    standing_text,
)
from prep.words.reader import Reader, say
from prep.words.unit.signatures import CAUSES
from reports.certificate.cause import release_of
from reports.document_check.answers import IssuedDocument, NumberAnswer, Standing
from reports.models import DocumentRequest, State
from reports.numbers import LENGTH, TypedNumber, read_number
from reports.registry import kind_named

# Events of a unit after which what a document of a kind says is not the newest any more.
OUTDATED_BY: Final = {
    "registration": ("unit.buyer_amended",),
    "sheet": ("sheet.started", "sheet.moved"),
}
MOST_SUCCESSORS: Final = 100  # followed to the newest; a chain is never that long


class Found(NamedTuple):
    """A document, the event that issued it, and the record of its unit where it is of one."""

    row: DocumentRequest
    event: Event
    issued: DocumentIssued
    record: Record | None


def check_number(typed: str, reader: Reader) -> NumberAnswer:
    """What a number in any spelling stands for."""
    read = read_number(typed)
    if read.wrong:
        return _misspelled(read, reader)
    rows = DocumentRequest.objects.filter(number=read.number, state=State.DONE)
    found = next((one for row in rows if (one := _found(row))), None)
    return _answer(found, reader) if found else _unknown(read.number, reader)


def number_of(digest: str) -> str:
    """The number of the document with this very file; empty where the log has none."""
    rows = DocumentRequest.objects.filter(digest=digest, state=State.DONE)
    return next((one.issued.number for row in rows if (one := _found(row))), "")


def _found(row: DocumentRequest) -> Found | None:
    """A document as the log has it; None where the log does not say what the row says.

    The row is only the index of numbers and digests. The event lies in the unit's stream, or in one
    of the document's own; it is found by its command, wherever it lies.
    """
    event = Event.objects.filter(command=command_of(row.pk), kind="document.issued").first()
    issued = decode(event.body) if event else None
    if event is None or not isinstance(issued, DocumentIssued):
        return None
    if (issued.number, issued.digest) != (row.number, row.digest):
        return None
    return Found(row, event, issued, record_of(row.unit_id) if row.unit_id else None)


def _answer(found: Found, reader: Reader) -> NumberAnswer:
    replaced_by = _successor(found.row)
    release = _release(found)
    standing = _standing(found, release, replaced_by)
    document = _document(found, release, replaced_by, reader)
    return NumberAnswer(
        number=document.number,
        standing=standing,
        sentence=standing_text(
            standing,
            reader,
            dealership=document.dealership,
            number=replaced_by,
            day=_day(found.row, document.time_zone, reader),
        ),
        advice=standing_advice(standing, reader, of_machine=bool(document.serial)),
        document=document,
    )


def _standing(found: Found, release: Release | None, replaced_by: str) -> Standing:
    ended = release is not None and release.withdrawn is not None
    if ended and found.record is not None and found.record.release is None:
        return Standing.WITHDRAWN  # also where it was replaced: the new one stands no more either
    if replaced_by:
        return Standing.REPLACED
    if found.row.erased:
        return Standing.ERASED
    if ended:
        return Standing.WITHDRAWN
    return Standing.OUT_OF_DATE if _is_outdated(found, release) else Standing.GENUINE


def _day(row: DocumentRequest, time_zone: str, reader: Reader) -> str:
    """The yard's day on which a document's file was erased; empty where it was not."""
    if row.erased is None:
        return ""
    return dates.day(row.erased.astimezone(ZoneInfo(time_zone)).date(), reader)


def _is_outdated(found: Found, release: Release | None) -> bool:
    """Whether the record moved on: a released machine is on hold, a newer sheet is worked."""
    if release is not None and found.record is not None and found.record.held:
        return True
    kinds = OUTDATED_BY.get(found.issued.document_kind, ())
    later = Event.objects.filter(
        stream=found.event.stream,
        stream_id=found.event.stream_id,
        version__gt=found.event.version,
        kind__in=kinds,
    )
    return bool(kinds) and later.exists()


def _release(found: Found) -> Release | None:
    """The release that a certificate proves; None for other kinds."""
    if found.record is None or found.issued.document_kind != "certificate":
        return None
    cause = release_of(found.issued.cause)
    return next((one for one in found.record.releases if one.event.release == cause), None)


def _successor(row: DocumentRequest) -> str:
    """Number of the newest document that takes this one's place; empty where none does."""
    newest = row
    for _ in range(MOST_SUCCESSORS):
        later = newest.replaced_by.filter(state=State.DONE).order_by("created").last()
        if later is None:
            break
        newest = later
    return "" if newest is row else newest.number


def _document(
    found: Found, release: Release | None, replaced_by: str, reader: Reader
) -> IssuedDocument:
    newest = log.latest_checkpoint()
    sites = _sites(found.row)
    unit = found.row.unit_id
    plate = plates_of([unit])[unit] if unit else None
    return IssuedDocument(
        number=found.issued.number,
        kind=found.issued.document_kind,
        title=say(reader, kind_named(found.issued.document_kind).title),
        issued=found.event.recorded,
        dealership=", ".join(sorted({site.dealer for site in sites})),
        site=sites[0].name if len(sites) == 1 else "",
        machine=", ".join(filter(None, (plate.maker, plate.model_name))) if plate else "",
        serial=plate.serial if plate else "",
        released=release.stamp.happened if release else None,
        erased=found.row.erased,
        ended=say(reader, CAUSES[release.cause]) if release and release.cause else "",
        replaced_by=replaced_by,
        digest=found.issued.digest,
        bytes=found.issued.bytes,
        position=log.position_of(found.event.pk),
        size=newest.size if newest else 0,
        time_zone=sites[0].time_zone if sites else "UTC",
    )


def _sites(row: DocumentRequest) -> list[Site]:
    """Yards a document is of: its unit's, else those it was asked for, else all."""
    stated: dict[str, Any] = row.parameters
    sites = Site.objects.order_by("name", "code")
    if row.unit_id:
        sites = sites.filter(units=row.unit_id)
    elif stated.get("sites"):
        sites = sites.filter(pk__in=stated["sites"])
    elif stated.get("units"):
        sites = sites.filter(units__in=stated["units"])
    return list(sites.distinct())


def _misspelled(read: TypedNumber, reader: Reader) -> NumberAnswer:
    assert read.wrong is not None  # or it would be a number
    return NumberAnswer(
        number=read.number[: 2 * LENGTH],
        standing=Standing.MISSPELLED,
        sentence=misspelling_text(read.wrong, len(read.number), LENGTH, reader),
        advice=correction_text(reader, likely=bool(read.likely)),
        likely=read.likely,
    )


def _unknown(number: str, reader: Reader) -> NumberAnswer:
    return NumberAnswer(
        number=number,
        standing=Standing.UNKNOWN,
        sentence=standing_text(Standing.UNKNOWN, reader),
        advice=standing_advice(Standing.UNKNOWN, reader),
    )
