"""Blank sheet: a unit's sheet as PDF, to fill in by hand where no tablet goes."""

from typing import Final

import msgspec

from prep.actions import sealing
from prep.queries.records import fold_history, history, record_of
from prep.queries.sites import site_of_unit, yard_at
from prep.record.refusal import Refusal
from prep.record.unit.guards import sheet
from reports.blank_sheet.facts import blank_facts
from reports.blank_sheet.pdf import blank_pages
from reports.document_kind import (
    Accepted,
    BuiltFile,
    Progress,
    Request,
    stand_in_of,
    temporary_file,
)
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

    It is drawn from the log up to the checkpoint that is signed now, whenever it is drawn. Raises
    Refusal where no sheet is open, or for an unknown paper size or language.
    """
    assert request.unit is not None  # the scope of this kind
    paper_named(request.parameters.paper)
    language = settled_language(request)
    sheet(record_of(request.unit))
    checkpoint = sealing.seal()
    assert checkpoint is not None  # the unit is in the log
    fixed = {"language": language, "size": checkpoint.size}
    return Accepted(str(request.command), {**request.sent, **fixed})


def build(request: DocumentRequest, progress: Progress) -> BuiltFile:
    """Build the blank sheet of a unit, with the steps and boxes that are still open."""
    unit = request.unit_id
    if unit is None:
        raise Refusal("unit-missing")
    yard = yard_at(site_of_unit(unit), below=request.parameters["size"])
    site = yard.details
    reader = reader_for(request, site.time_zone)
    stands_in = stand_in_of(request)
    facts = blank_facts(
        fold_history(history(unit, below=request.parameters["size"])),
        reader,
        dealer=site.dealer,
        site=site.name,
        lines=yard.printed,
        address=unit_address(unit),
        stands_in=stands_in.text(reader) if stands_in else "",
    )
    progress(1, 2)
    number = drawn_number(LETTER, request.seed)
    path = temporary_file(request, ".pdf")
    paper = paper_named(request.parameters.get("paper", ""), site.time_zone)
    path.write_bytes(blank_pages(facts, paper, number, reader))
    progress(2, 2)
    return BuiltFile(path, f"sheet-{number}.pdf", number, "application/pdf")
