"""Endpoint of a unit's sheet."""

from uuid import UUID

from api.answers.sheets import ShownSheet, shown_sheet
from api.operations import View, reads_unit
from api.views.units import PastQuery, record_seen
from prep.queries.readers import reader_of
from prep.record.token.scopes import READ


class SheetView(View):
    """The sheet of a unit."""

    tag = "sheet"
    reading = READ

    @reads_unit
    def get(self, unit: UUID, query: PastQuery) -> ShownSheet:
        """Look at a unit's sheet.

        Its sections, steps, lines and boxes, with all entries, their limits, and the advice on
        nonconforming readings. With `known_at` or `happened_by` a view of the past, which
        `as_of` describes.
        """
        record, past = record_seen(unit, query)
        return shown_sheet(unit, record, reader_of(self.person), past)
