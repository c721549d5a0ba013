"""The audit bundle: any set of units over any period, as of any moment, with its proofs.

What it may know is fixed when it is asked for: the yards of whoever asks, the moment, and the
checkpoint. Made again it has the same bytes, whatever happened since.
"""

from collections.abc import Iterable, Mapping
from datetime import UTC, datetime
from typing import Annotated, Any, Final
from uuid import UUID

import msgspec
from django.utils import timezone

from prep.actions import sealing
from prep.models import Checkpoint, Person, Site
from prep.queries import log
from prep.queries.people import sites_of
from prep.record.reads import may_read
from prep.record.refusal import Refusal
from prep.words import dates
from prep.words.reader import say, say_count
from reports.audit.facts import Audit, FindingTotals
from reports.audit.gather import collect
from reports.audit.selection import Selection, chosen
from reports.bundles import contents, readme
from reports.document_kind import (
    Accepted,
    BuiltFile,
    Progress,
    Request,
    stand_in_of,
    temporary_file,
)
from reports.languages import reader_for, settled_language
from reports.models import DocumentRequest, State
from reports.numbers import drawn_number

LETTER: Final = "A"  # begins the numbers of its documents
PERCENT: Final = 100
Moment = Annotated[datetime, msgspec.Meta(tz=True)]


class Parameters(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Parameters of an audit: what it covers. One that is left out does not narrow it.

    `units` are ids; `site` is a yard's code. Of these units, those are taken of which something
    was recorded from `since` to `until`, each with its whole record as it was known at `known_at`.
    Without `files`, photographs and certificates stay out. `language` is that of the page, the
    README and the sentences in the tables; without one, that of whoever asks.
    """

    units: tuple[UUID, ...] = ()
    site: str = ""
    since: Moment | None = None
    until: Moment | None = None
    known_at: Moment | None = None
    files: bool = True
    language: str = ""


def accept(request: Request) -> Accepted:
    """Accept a request for an audit, of yards that the person may audit.

    Raises Refusal for another yard, an unknown unit or language, an impossible period, and an
    empty audit.
    """
    wanted: Parameters = request.parameters
    sites = yards_of(request.person)
    if wanted.site and wanted.site not in sites:
        raise Refusal("no-such-site", field="site", known=tuple(sites))
    known_at = wanted.known_at or timezone.now()
    _refuse_impossible(wanted, known_at)
    checkpoint = sealing.seal()
    selection = Selection(
        sites=(wanted.site,) if wanted.site else tuple(sites),
        units=tuple(map(str, wanted.units)),
        since=wanted.since,
        until=wanted.until,
        known_at=known_at,
    )
    _refuse_unknown(selection, checkpoint)
    assert checkpoint is not None  # a unit is in the log, or it would have been refused
    dealers = Site.objects.filter(pk__in=selection.sites).values_list("dealer", flat=True)
    fixed = {
        "files": wanted.files,
        "size": checkpoint.size,
        "asked_by": str(request.person),
        "language": settled_language(request),
        "dealers": sorted(set(dealers)),
    }
    return Accepted(str(request.command), {**msgspec.to_builtins(selection), **fixed})


def yards_of(person: Person) -> list[str]:
    """Codes of the yards a person may audit."""
    return sorted(site for site, roles in sites_of(person).items() if may_read("audit.view", roles))


def build(request: DocumentRequest, progress: Progress) -> BuiltFile:
    """Build the audit bundle of a request."""
    audit = _audit(request)
    target = temporary_file(request, ".zip")
    with contents.collecting(target.parent) as payload:
        totals = collect(
            payload, audit, lambda share: progress(int(PERCENT * 0.8 * share), PERCENT)
        )
        issue = contents.Issue("audit", audit.number, audit.cut, totals.streams)
        bag = contents.pack(
            target,
            issue,
            payload,
            readme.audit(audit.number, _about(audit, totals), audit.reader),
            _info(audit, request.parameters["dealers"]),
            lambda packed, files: progress(int(PERCENT * (0.8 + 0.2 * packed / files)), PERCENT),
        )
    progress(PERCENT, PERCENT)
    return BuiltFile(
        target,
        f"{issue.name}.zip",
        audit.number,
        "application/zip",
        bag,
        frozenset(payload.holds),
    )


def _about(audit: Audit, totals: FindingTotals) -> str:
    """Description of the bundle for its README."""
    reader = audit.reader
    about = say(
        reader,
        "Audit {number}: {units} with {entries}, as the records stood on {moment}.",
        number=audit.number,
        units=say_count(reader, "{count} unit", "{count} units", len(audit.units)),
        entries=say_count(reader, "{count} log entry", "{count} log entries", totals.events),
        moment=dates.moment(audit.selection.known_at.astimezone(UTC), reader),
    )
    return f"{about} {audit.stands_in}".rstrip()


def _audit(request: DocumentRequest) -> Audit:
    parameters: Mapping[str, Any] = request.parameters
    selected = {name: parameters[name] for name in Selection.__struct_fields__}
    selection = msgspec.convert(selected, Selection)
    checkpoint = log.checkpoint_of(parameters["size"])
    reader, stands_in = reader_for(request), stand_in_of(request)
    return Audit(
        number=drawn_number(LETTER, request.seed),
        selection=selection,
        cut=contents.Cut(checkpoint, selection.known_at),
        units=chosen(selection, checkpoint.size),
        files=parameters["files"],
        asked_by=parameters["asked_by"],
        reader=reader,
        stands_in=stands_in.text(reader) if stands_in else "",
    )


def parts(request: DocumentRequest) -> Iterable[DocumentRequest]:
    """The documents whose files an audit holds."""
    audit = _audit(request)
    if not audit.files:
        return ()
    units = [UUID(one.id) for one in audit.units]
    certificates = DocumentRequest.objects.filter(
        kind="certificate", state=State.DONE, unit__in=units, finished__lte=request.created
    )
    return certificates.order_by("created").iterator()


def _info(audit: Audit, dealers: list[str]) -> list[tuple[str, str]]:
    """The labels of bag-info.txt (RFC 8493, 2.2.2)."""
    count = len(audit.units)
    description = say_count(audit.reader, "Audit of {count} unit", "Audit of {count} units", count)
    return [
        ("Source-Organization", ", ".join(dealers)),
        ("External-Description", description),
        ("External-Identifier", audit.number),
        ("Bagging-Date", audit.selection.known_at.date().isoformat()),
        ("Bag-Software-Agent", contents.MADE_BY),
        *([] if audit.files else [contents.WITHOUT_FILES]),
    ]


def _refuse_impossible(wanted: Parameters, known_at: datetime) -> None:
    if known_at > timezone.now():
        raise Refusal("moment-in-future", field="known_at")
    since, until = wanted.since, wanted.until or known_at
    if since and since > min(until, known_at):
        raise Refusal("period-unfit", field="since")


def _refuse_unknown(selection: Selection, checkpoint: Checkpoint | None) -> None:
    units = chosen(selection, checkpoint.size) if checkpoint else []
    unknown = set(selection.units) - {unit.id for unit in units}
    if unknown and not (selection.since or selection.until):
        raise Refusal(
            "no-such-units-then",
            field="units",
            units=sorted(unknown)[:5],
            known_at=selection.known_at,
        )
    if not units:
        raise Refusal("nothing-to-audit")
