"""Endpoints of flags, concessions and missing parts."""

from datetime import datetime
from typing import Annotated
from uuid import UUID

import msgspec

from api.inputs import CommandBody, Long, Name, Pin, Short, given
from api.operations import View, commands, reads
from api.paging import Page, PageQuery, moment_of, page
from api.views.unit.holds import NoteBody
from prep.actions.unit import flags, shortages
from prep.actions.write_path import Command, Outcome
from prep.queries.flags import flags_at
from prep.queries.people import sites_of


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


class FlagBody(CommandBody, frozen=True, kw_only=True):
    """What is wrong and where."""

    text: Long
    step: Short = ""


class CloseBody(CommandBody, frozen=True, kw_only=True):
    """How the problem was fixed."""

    text: Long


class ConcessionBody(CommandBody, frozen=True, kw_only=True):
    """Why the item is accepted as it is, and the PIN that signs for it."""

    reason: Long
    pin: Pin


class ShortageBody(CommandBody, frozen=True, kw_only=True):
    """Which part is missing, and when it is expected."""

    part: Name
    count: Annotated[int, msgspec.Meta(ge=1, le=10_000)] = 1
    stops_release: bool = True
    expected: Short = ""
    lent_to: Name = ""


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
        return page(FlagPage, self.request, rows, query.limit, "raised")


class RaiseView(View):
    """Raising a flag."""

    tag = "flags"

    @commands(if_match="optional")
    def post(self, unit: UUID, command: Command, body: FlagBody) -> Outcome:
        """Raise a flag."""
        return flags.raise_flag(actor=self.person, command=command, unit=unit, **given(body))


class CloseView(View):
    """Closing a flag."""

    tag = "flags"

    @commands(if_match="optional")
    def post(self, unit: UUID, flag: str, command: Command, body: CloseBody) -> Outcome:
        """Close a flag.

        A flag that an entry raised closes by a conforming entry in the same box instead.
        """
        return flags.close(actor=self.person, command=command, unit=unit, flag=flag, text=body.text)


class ConcessionView(View):
    """Granting a concession."""

    tag = "flags"

    @commands(if_match="optional")
    def post(self, unit: UUID, flag: str, command: Command, body: ConcessionBody) -> Outcome:
        """Grant a concession on a flag."""
        return flags.concede(
            actor=self.person, command=command, unit=unit, flag=flag, **given(body)
        )


class ShortagesView(View):
    """Missing parts of a unit."""

    tag = "flags"

    @commands(if_match="optional")
    def post(self, unit: UUID, command: Command, body: ShortageBody) -> Outcome:
        """Note a missing part."""
        return shortages.note_shortage(actor=self.person, command=command, unit=unit, **given(body))


class ArrivalView(View):
    """Arrival of a missing part."""

    tag = "flags"

    @commands(if_match="optional")
    def post(self, unit: UUID, shortage: str, command: Command, body: NoteBody) -> Outcome:
        """Note that a missing part arrived."""
        return shortages.shortage_arrived(
            actor=self.person, command=command, unit=unit, shortage=shortage, note=body.note
        )
