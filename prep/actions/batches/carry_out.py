"""Carrying out a batch: each command by itself, in order, in its own transaction.

A refused command holds back only what depends on it. Sent again, the batch goes on: what was done
is repeated with its first outcome, whatever was refused or held is tried again.
"""

import logging
from collections.abc import Iterable, Iterator
from typing import Final
from uuid import UUID

from django.db import InterfaceError, OperationalError

from prep.actions.batches.batch import Device, Result, Sent, Status
from prep.actions.batches.dependence import Waiting
from prep.actions.batches.refused_commands import keep_refused
from prep.actions.perform import perform
from prep.actions.streams.all_streams import STREAMS
from prep.actions.submission import Submission
from prep.models import Event, Person
from prep.record.command import Command
from prep.record.commands import COMMANDS
from prep.record.refusal import Refusal
from prep.record.struct_errors import convert

logger = logging.getLogger(__name__)

# What a batch may hold. Others are refused by name: the device has to know that they wait.
OFFERED: Final = {tag: command for tag, command in COMMANDS.items() if command.offered}


def carry_out(batch: Iterable[Sent], *, person: Person, device: Device) -> Iterator[Result]:
    """The result of each command, in order, as soon as it has one."""
    commands = list(batch)
    waiting, done = Waiting(), _done_before(commands, person)
    for sent in commands:
        waits_for = waiting.holds_back(sent, done)
        if waits_for is None:
            result = _tried(sent, person, device)
        else:
            result = Result(sent, Status.HELD, waits_for=waits_for)
        if result.outcome is not None:
            done.add(sent.id)
        else:
            waiting.add(sent)
        yield result


def _done_before(commands: Iterable[Sent], person: Person) -> set[UUID]:
    """Which of these commands, and of those they wait for, this person had carried out before."""
    wanted = {one for sent in commands for one in (sent.id, *sent.after)}
    events = Event.objects.filter(command__in=wanted, actor=str(person.pk))
    return set(events.values_list("command", flat=True))


def _tried(sent: Sent, person: Person, device: Device) -> Result:
    kind = OFFERED.get(sent.tag)
    try:
        return _decided(sent, kind, person, device)
    except (OperationalError, InterfaceError):
        raise  # the database is away: nothing after this would go any better
    except Exception as wrong:  # a fault of ours in one command must not stop all others
        logger.exception("a command of a batch failed")
        return Result(sent, Status.HELD, kind, wrong=wrong)


def _decided(sent: Sent, kind: type[Command] | None, person: Person, device: Device) -> Result:
    """Carried out, or refused and kept."""
    try:
        return _performed(sent, kind, person, device)
    except Refusal as refusal:
        # A document is a file on its author's machine.
        if refusal.code != "document-unfit":
            keep_refused(sent, kind, refusal, person=person, device=device)
        return Result(sent, Status.REFUSED, kind, wrong=refusal)


def _performed(sent: Sent, kind: type[Command] | None, person: Person, device: Device) -> Result:
    if kind is None:
        raise Refusal("no-such-command", field="command", typed=sent.tag)
    if kind.signs():
        raise Refusal("signature-in-batch", field="pin")
    if kind.attachment:
        raise Refusal("attachment-in-batch")
    command: Command = convert(dict(sent.values), kind)
    target = _target(sent, kind)
    if kind.must_match and sent.version is None:
        raise Refusal("precondition-missing")
    submission = Submission(
        id=sent.id,
        happened=sent.happened,
        device=device.id,
        version=sent.version if kind.stream == "unit" and not kind.creates else None,
        drift=device.drift,
        author=sent.author,
    )
    outcome = perform(command, actor=person, target=target, submission=submission)
    status = Status.REPEATED if outcome.repeated else Status.DONE
    return Result(sent, status, kind, outcome)


def _target(sent: Sent, kind: type[Command]) -> str | None:
    """The id of the stream, in its canonical form; None for a command that starts one."""
    if kind.creates:
        if sent.target is not None:
            raise Refusal("target-unwanted", field="target")
        return None
    if not sent.target:
        raise Refusal("target-missing", field="target")
    return STREAMS[kind.stream].named(sent.target)
