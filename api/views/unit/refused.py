"""Endpoints of what batches brought and the record did not take."""

from datetime import datetime
from typing import Any, Literal
from uuid import UUID

import msgspec
from rest_framework.request import Request

from api.errors import Problem, problem_body
from api.operations import View, reads
from prep.queries.events import NotTaken, refused_on, refused_on_no_unit
from prep.queries.people import sites_of
from prep.queries.units import seen_by
from prep.record.stored_refusals import restored
from prep.record.token.scopes import READ


class ShownSettling(msgspec.Struct, frozen=True, kw_only=True):
    """Who settled it, when and why; without a reason it was sent again and taken."""

    name: str
    recorded: datetime
    reason: str


class ShownRefused(msgspec.Struct, frozen=True, kw_only=True):
    """A command that was not taken. `refused/{id}/settle` settles it.

    `command` is its id, `asked` its tag, `fields` what was typed, without personal and secret
    fields. `person` and `name` are who sent it; `author` is the user name the device named, and
    `author_name` their printed name. `happened` is what the device said; `drift` by how many
    seconds its clock was behind when it sent. `problem` is why it was not taken.
    """

    id: UUID
    command: UUID
    asked: str
    target: str
    fields: dict[str, Any]
    person: str
    name: str
    author: str
    author_name: str
    device: str
    drift: int | None
    happened: datetime
    recorded: datetime
    problem: Problem
    state: Literal["open", "settled", "taken"]
    settled: ShownSettling | None


class RefusedList(msgspec.Struct, frozen=True, kw_only=True):
    """Commands that were not taken, the newest first, at most 500."""

    items: list[ShownRefused]


class RefusedOnUnitView(View):
    """What was not taken on a unit."""

    tag = "units"
    reading = READ

    @reads
    def get(self, unit: UUID) -> RefusedList:
        """See what was not taken on a unit.

        What batches brought for it and was refused, with what was typed, by whom, when and why;
        open until somebody settles it or it is sent again and taken.
        """
        seen_by(self.person, unit)
        return RefusedList(items=[_shown(one, self.request) for one in refused_on(unit)])


class RefusedView(View):
    """What was not taken of no unit that is here."""

    tag = "commands"
    reading = READ

    @reads
    def get(self) -> RefusedList:
        """See what was not taken otherwise.

        What is open of your sites and about no unit that is here, such as one that could not be
        received; and what you sent about anything you may not see.
        """
        kept = refused_on_no_unit(self.person, sites_of(self.person))
        return RefusedList(items=[_shown(one, self.request) for one in kept])


def _shown(kept: NotTaken, request: Request) -> ShownRefused:
    event, settling = kept.event, kept.settling
    state: Literal["open", "settled", "taken"] = "open"
    if settling:
        state = "settled" if settling.reason else "taken"
    return ShownRefused(
        id=UUID(kept.id),
        command=UUID(event.command),
        asked=event.asked,
        target=event.target,
        fields=event.fields,
        person=kept.sender,
        name=kept.name,
        author=event.author,
        author_name=kept.author,
        device=kept.device,
        drift=kept.drift,
        happened=datetime.fromisoformat(event.happened),
        recorded=kept.recorded,
        problem=problem_body(restored(event.refusal), {"request": request}),
        state=state,
        settled=ShownSettling(name=settling.name, recorded=settling.at, reason=settling.reason)
        if settling
        else None,
    )
