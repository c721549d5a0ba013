"""Blank sheet: a unit's sheet as PDF, to fill in by hand where no tablet goes."""

from typing import Final

import msgspec

from prep.models import Site
from prep.queries.records import record_of
from prep.record.refusal import Refusal
from prep.record.unit.guards import sheet
from reports.blank_sheet.facts import blank_facts
from reports.blank_sheet.pdf import blank_pages
from reports.document_kind import Accepted, BuiltFile, Progress, Request, temporary_file
from reports.labels.document import unit_address
from reports.languages import reader_for, settled_language
from reports.models import DocumentRequest
from reports.numbers import drawn_number
from reports.pdf.page import paper_named

LETTER: Final = "S"  # begins the numbers of its documents


class Parameters(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Parameters of a blank sheet.

    `paper` is its size, A4 or Letter; without one, what the yard's printer is likely to hold.
    `language` is that of the sheet's own texts; without one, that of whoever asks. The texts of
    the procedure stay as the procedure has them.
    """

    paper: str = ""
    language: str = ""


def accept(request: Request) -> Accepted:
    """Accept a request for the blank sheet of a unit; each request is a document of its own.

    Raises Refusal where no sheet is open, or for an unknown paper size or language.
    """
    assert request.unit is not None  # the scope of this kind
    paper_named(request.parameters.paper)
    language = settled_language(request)
    sheet(record_of(request.unit))
    return Accepted(str(request.command), {**request.sent, "language": language})


def build(request: DocumentRequest, progress: Progress) -> BuiltFile:
    """Build the blank sheet of a unit, with the steps and boxes that are still open."""
    unit = request.unit_id
    if unit is None:
        raise Refusal("unit-missing")
    site = Site.objects.get(units=unit)
    reader = reader_for(request, site.time_zone)
    facts = blank_facts(
        record_of(unit),
        reader,
        dealer=site.dealer,
        site=site.name,
        address=unit_address(unit),
    )
    progress(1, 2)
    number = drawn_number(LETTER, request.cause)
    path = temporary_file(request, ".pdf")
    paper = paper_named(request.parameters.get("paper", ""), site.time_zone)
    path.write_bytes(blank_pages(facts, paper, number, reader))
    progress(2, 2)
    return BuiltFile(path, f"sheet-{number}.pdf", number, "application/pdf")
