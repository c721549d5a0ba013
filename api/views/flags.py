"""Endpoint that lists flags."""

from datetime import datetime
from typing import Annotated
from uuid import UUID

import msgspec

from api.operations import View, reads
from api.paging import Page, PageQuery, moment_of, page
from prep.queries.flags import flags_at
from prep.queries.people import sites_of
from prep.queries.readers import reader_of
from prep.words.unit.flags import kept_flag_text


class FlagQuery(PageQuery, frozen=True, kw_only=True):
    """Filters of the list."""

    site: str = ""
    open: bool | None = None
    origin: Annotated[
        str, msgspec.Meta(description="What raised it: reading, check, damage, person …")
    ] = ""


class FlagRow(msgspec.Struct, frozen=True, kw_only=True):
    """A flag in the list, with its unit."""

    id: str
    origin: str
    text: str
    step: str
    open: bool
    raised: datetime
    raised_by: str
    closed: datetime | None
    closed_by: str
    concession: str
    unit: UUID
    site: str
    maker: str
    serial: str
    state: str


class FlagPage(Page[FlagRow], frozen=True, kw_only=True):
    """Flags, the last raised first."""


class FlagsView(View):
    """Flags of your sites."""

    tag = "flags"

    @reads
    def get(self, query: FlagQuery) -> FlagPage:
        """List flags.

        Flags of every unit of your sites, the last raised first, in pages.
        """
        rows = flags_at(
            sites_of(self.person),
            site=query.site,
            still_open=query.open,
            origin=query.origin,
            after=moment_of(query.cursor),
            limit=query.limit + 1,
        )
        reader = reader_of(self.person)
        for row in rows:
            row["text"] = kept_flag_text(row.pop("about"), reader)
        return page(FlagPage, self.request, rows, query.limit, "raised")
