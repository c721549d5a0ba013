"""The commands a unit's page offers: those its permission table and guards allow now."""

from dataclasses import dataclass
from typing import Final
from uuid import UUID

from django.http import QueryDict
from django.utils import timezone

from prep.actions.perform import perform
from prep.actions.sales import sell
from prep.actions.submission import Submission
from prep.models import Person
from prep.pages.command_form import read_form
from prep.queries.personal.buyers import buyer_of
from prep.record.buyer.commands import AddBuyer, AmendBuyer
from prep.record.command import Command, possible
from prep.record.commands import COMMANDS
from prep.record.refusal import Refusal
from prep.record.roles import Actor, Context, Role
from prep.record.struct_errors import convert_texts
from prep.record.unit.commands.buyers import AssignBuyer
from prep.record.unit.commands.handwritten import AttachPage
from prep.record.unit.state import Record
from prep.record.unit.step_command import StepCommand
from prep.words import commands as words
from prep.words.reader import Reader

OFFERED: Final = {
    tag: command
    for tag, command in COMMANDS.items()
    if command is AmendBuyer
    or (
        command.stream == "unit"
        and command.offered
        and not (command.creates or command is AttachPage or issubclass(command, StepCommand))
    )
}


@dataclass(frozen=True)
class OfferedCommand:
    """A command as a page offers it."""

    name: str
    title: str
    button: str
    explanation: str
    statement: str


def in_words(command: type[Command], reader: Reader) -> OfferedCommand:
    """A command with its words."""
    tag = command.tag()
    return OfferedCommand(
        tag,
        words.title(tag, reader),
        words.button(tag, reader),
        words.explanation(tag, reader),
        words.statement(tag, reader),
    )


def offered(
    record: Record, person: Person, roles: frozenset[Role], reader: Reader
) -> list[OfferedCommand]:
    """The commands that somebody with these roles may give as things stand."""
    context = context_now(person, roles)
    return [
        in_words(command, reader)
        for command in OFFERED.values()
        if _possible(command, record, context)
    ]


def context_now(person: Person, roles: frozenset[Role]) -> Context:
    """The context of a command that the person would give now."""
    now = timezone.now()
    return Context(Actor(str(person.pk), str(person), roles), now, now, UUID(int=0))


def _possible(command: type[Command], record: Record, context: Context) -> bool:
    if command is AmendBuyer:
        kept = record.buyer is not None and buyer_of(record.buyer) is not None
        return kept and bool(command.permission.roles & context.actor.roles)
    return possible(command, record, context)


def give(
    command: type[Command],
    *,
    person: Person,
    unit: UUID,
    site: str,
    record: Record,
    sent: QueryDict,
    submission: Submission,
    attachment: bytes | None = None,
) -> None:
    """Give a command as its form was filled in; Refusal where it is not carried out."""
    values = read_form(command, sent)
    if command is AssignBuyer:
        buyer = convert_texts({"site": site, **read_form(AddBuyer, sent)}, AddBuyer)
        sell(buyer, tractor=values["tractor"], actor=person, unit=unit, submission=submission)
        return
    target: UUID | str = unit
    if command is AmendBuyer:
        if record.buyer is None:
            raise Refusal("no-buyer")
        target = record.buyer.id
    perform(
        convert_texts(values, command),
        actor=person,
        target=target,
        submission=submission,
        attachment=attachment,
    )
