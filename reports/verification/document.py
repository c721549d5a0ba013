"""Verification report: everything recomputed from the log, its findings as a JSON file.

The same as `manage.py verify`, for an auditor who has no shell on the service's machine.
"""

from collections.abc import Iterable
from datetime import datetime
from typing import Annotated, Any, Final

import msgspec
from django.conf import settings
from django.utils import timezone

from prep.models import Checkpoint, LogKey, Unsealed
from prep.record.log.kept_checkpoints import checkpoints_in
from prep.record.refusal import Refusal
from prep.verify import run
from prep.verify.findings import Finding, Statement
from prep.words.reader import Reader
from prep.words.verification.sentences import finding_text, verdict_text
from prep.words.verification.sorts import SORTS, part_text, sort_title
from prep.words.verification.statements import statement_text
from reports.document_kind import (
    Accepted,
    BuiltFile,
    Progress,
    Request,
    stand_in_of,
    temporary_file,
)
from reports.languages import reader_for, settled_language
from reports.models import DocumentRequest
from reports.numbers import check_address, drawn_number

LETTER: Final = "V"  # begins the numbers of its documents
MEDIA_TYPE: Final = "application/json"


class Parameters(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Parameters of a verification.

    `older` is a text that holds checkpoints kept from before, such as a mail that brought one: the
    log must still hold all they were signed over. `language` is that of the report's sentences;
    without one, that of whoever asks.
    """

    older: Annotated[str, msgspec.Meta(max_length=500_000)] = ""
    language: str = ""


class Part(msgspec.Struct, frozen=True):
    """Number of checked items of one part; `text` says the same in words."""

    part: str
    count: int
    text: str


class Upto(msgspec.Struct, frozen=True):
    """The newest checkpoint when the verification began; keep `note` to hold the log to it later.

    What was recorded since waits for its own: `waiting` events had none yet.
    """

    size: int
    root: str
    note: str
    waiting: int


class ListedFinding(msgspec.Struct, frozen=True):
    """One finding: which item is not as it was recorded, and what is wrong.

    `code` and `values` are for programs, and for whoever reads in another language; `text` is the
    sentence.
    """

    which: str
    code: str
    values: dict[str, Any]
    text: str


class ListedStatement(msgspec.Struct, frozen=True):
    """One thing that was proved, or could not be; `text` is the sentence of `code` and `values`."""

    code: str
    values: dict[str, Any]
    text: str


class Kind(msgspec.Struct, frozen=True):
    """Findings of one kind; `about` is the kind in plain words."""

    kind: str
    about: str
    findings: list[ListedFinding]


class Verification(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The report of a verification: everything the service holds, recomputed from its log.

    `holds` is the verdict and `verdict` says it in words. `checked` counts what was looked at,
    `findings` names whatever is not as it was recorded, by kind; past a thousand they are only
    counted, in `not_listed`. `proved` is what holds even against somebody who had the database in
    hand, `unproven` what cannot be told from what was at hand. `checkpoint` is what the log was
    signed with when this began, null for a log that never was; `keys` are the log's public keys, to
    be compared with those you know: this report comes from the service, and a service in wrong
    hands could write another. `stands_in_for` says for which lost report this one was made, of
    what holds now and not of what held then; empty for one that was asked for. `older`
    are the checkpoints that were given to hold the log to; only with one is a log found for sure
    that was rewritten as a whole. At `address` anybody checks this report. Moments are UTC.
    """

    kind: str
    number: str
    stands_in_for: str
    address: str
    log: str
    asked_by: str
    begun: datetime
    finished: datetime
    holds: bool
    verdict: str
    checked: list[Part]
    checkpoint: Upto | None
    keys: list[str]
    older: list[str]
    findings: list[Kind]
    not_listed: int
    proved: list[ListedStatement]
    unproven: list[ListedStatement]


def accept(request: Request) -> Accepted:
    """Accept a request for a verification; each request is a verification of its own.

    Raises Refusal for an unknown language, and for a text without a checkpoint.
    """
    language, older = settled_language(request), request.parameters.older
    notes = checkpoints_in(older.encode())
    if older.strip() and not notes:
        raise Refusal("no-checkpoint-inside", field="older")
    return Accepted(str(request.command), {"older": "\n".join(notes), "language": language})


def read(report: bytes) -> Verification:
    """Decode the report of a finished verification from its file."""
    return msgspec.json.decode(report, type=Verification)


def build(request: DocumentRequest, progress: Progress) -> BuiltFile:
    """Verify everything the service holds, and write the report as JSON."""
    older = checkpoints_in(msgspec.convert(request.parameters, Parameters).older.encode())
    number, reader = drawn_number(LETTER, request.seed), reader_for(request)
    stands_in = stand_in_of(request)
    begun, upto = timezone.now(), _upto()
    report = run.verify(older=older, progress=progress)
    verification = Verification(
        kind="verification",
        number=number,
        stands_in_for=stands_in.text(reader) if stands_in else "",
        address=check_address(number),
        log=settings.LOG_NAME,
        asked_by=str(request.person or ""),
        begun=begun,
        finished=timezone.now(),
        holds=report.holds,
        verdict=verdict_text(reader, holds=report.holds),
        checked=[
            Part(part, count, part_text(part, count, reader))
            for part, count in report.checked.items()
        ],
        checkpoint=upto,
        keys=list(LogKey.objects.order_by("created").values_list("verifier", flat=True)),
        older=older,
        findings=_by_kind(report.findings, reader),
        not_listed=report.not_listed,
        proved=_listed(report.proved, reader),
        unproven=_listed(report.unproven, reader),
    )
    path = temporary_file(request, ".json")
    path.write_bytes(msgspec.json.format(msgspec.json.encode(verification), indent=2))
    return BuiltFile(path, f"verification-{number}.json", number, MEDIA_TYPE)


def _upto() -> Upto | None:
    """The newest checkpoint, or None; read by column, so that a damaged moment cannot stop this."""
    newest = Checkpoint.objects.order_by("-size").values_list("size", "root", "note").first()
    if newest is None:
        return None
    size, root, note = newest
    return Upto(size, root, note, Unsealed.objects.count())


def _listed(statements: Iterable[Statement], reader: Reader) -> list[ListedStatement]:
    return [
        ListedStatement(one.code, dict(one.values), statement_text(one.code, one.values, reader))
        for one in statements
    ]


def _by_kind(findings: Iterable[Finding], reader: Reader) -> list[Kind]:
    """Findings grouped by kind, kinds in the order of SORTS."""
    by_kind: dict[str, list[ListedFinding]] = {sort: [] for sort in SORTS}
    for one in findings:
        text = finding_text(one.code, one.values, reader)
        listed = ListedFinding(one.which, one.code, dict(one.values), text)
        by_kind[one.sort].append(listed)
    return [
        Kind(sort, sort_title(sort, reader), listed) for sort, listed in by_kind.items() if listed
    ]
