"""A unit's own sheet on paper, to fill in by hand where no tablet goes."""

from typing import Final
from zoneinfo import ZoneInfo

import msgspec

from prep.models import Site
from prep.queries.records import record_of
from prep.record.refusal import Refusal
from prep.record.working import sheet
from reports.asking import DOORS, Granted, Wish, of_unit, parameters
from reports.builders import BUILDERS, BuiltFile, Progress, temporary_file
from reports.facts_blank import blank_facts
from reports.labels import unit_address
from reports.models import DocumentRequest
from reports.numbers import drawn_number
from reports.pdf.blank_sheet import blank_pages
from reports.pdf.page import paper_named

FORM: Final = "sheet"


class Wanted(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Paper: A4 or Letter; without one, what the yard's printer is likely to hold."""

    paper: str = ""


def door(wish: Wish) -> Granted:
    """A blank sheet of a unit in preparation; each asking prints it as it stands then."""
    unit, _ = of_unit(wish)
    paper_named(parameters(wish, Wanted).paper)
    sheet(record_of(unit))
    return Granted(str(wish.command), wish.parameters)


def build(request: DocumentRequest, progress: Progress) -> BuiltFile:
    """Draw what the unit's sheet still asks."""
    unit = request.unit_id
    if unit is None:
        raise Refusal("unit-missing", "A sheet belongs to one unit.")
    site = Site.objects.get(units=unit)
    facts = blank_facts(
        record_of(unit),
        dealer=site.dealer,
        site=site.name,
        zone=ZoneInfo(site.time_zone),
        address=unit_address(unit),
    )
    progress(1, 2)
    number = drawn_number("S", request.cause)
    path = temporary_file(request, ".pdf")
    paper = paper_named(request.parameters.get("paper", ""), site.time_zone)
    path.write_bytes(blank_pages(facts, paper, number))
    progress(2, 2)
    return BuiltFile(path, f"sheet-{number}.pdf", number, "application/pdf")


BUILDERS[FORM] = build
DOORS[FORM] = door
