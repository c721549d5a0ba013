"""Endpoint of batches: what a device kept while it had no signal, sent in one request."""

from typing import Annotated, Any, Final, cast
from uuid import UUID

import msgspec
from django.utils import timezone
from rest_framework.request import Request

from api.answers.outcomes import RecordedOnUnit, RecordedReference, shown_on_unit, shown_reference
from api.errors import Problem, problem_body
from api.inputs import Body
from api.media_types import BatchBody
from api.operations import View, asks
from api.origin import origin_of
from api.schema import one_of_commands
from prep.actions.batches.batch import Device, Result, Sent, Status
from prep.actions.batches.carry_out import OFFERED, carry_out
from prep.queries.readers import reader_of
from prep.queries.sites import is_enrolled
from prep.record.fields import FILLED, Meta, Moment
from prep.record.moments import drift_of
from prep.record.refusal import Refusal
from prep.words.reader import Reader

MOST: Final = 500
IN_BATCH: Final = [
    command for command in OFFERED.values() if not (command.signs() or command.attachment)
]

CommandInBatch = Annotated[
    dict[str, Any],
    Meta(
        description="The command with its tag and fields, as its own endpoint takes them.",
        extra_json_schema=one_of_commands(IN_BATCH),
    ),
]


class SendingDevice(Body, frozen=True, kw_only=True):
    """The device that sends: the name or UUID it keeps, and its time now.

    The record keeps by how many seconds its clock is off. Where that is more than two minutes,
    every `happened` of the batch is corrected by it.
    """

    id: Annotated[str, Meta(max_length=60, pattern=FILLED, examples=["Tablet 2"])]
    clock: Moment


class SentCommand(Body, frozen=True, kw_only=True):
    """One command of a batch.

    `id` is what the Idempotency-Key is for a single command, `version` what If-Match is. `target`
    is the id of what it changes, left out for one that starts a record. `after` are ids of commands
    that must be carried out before it. `author` is the user name of whoever made the entry, where
    that is not the person whose token sends it.
    """

    id: UUID
    target: Annotated[str, Meta(min_length=1, max_length=64)] | None = None
    happened: Moment
    version: Annotated[int, Meta(ge=0, le=2**31 - 1)] | None = None
    after: Annotated[tuple[UUID, ...], Meta(max_length=MOST)] = ()
    author: Annotated[str, Meta(max_length=150)] = ""
    command: CommandInBatch


class BatchOfCommands(Body, frozen=True, kw_only=True):
    """Commands in the order in which they were given, at most 500."""

    device: SendingDevice
    commands: Annotated[tuple[SentCommand, ...], Meta(max_length=MOST)]


class OutcomeInBatch(msgspec.Struct, frozen=True, kw_only=True):
    """What became of one command.

    `done` now, or `repeated`: carried out before, with its first outcome, in `recorded` for a
    command on a unit, in `reference` for any other. `refused`, with the `problem` its own endpoint
    would answer; what it said is kept. `held`: it was not tried, because it depends on the command
    `waits_for`; or, with a `problem`, we failed. What is held is to be kept on the device and sent
    again.
    """

    id: UUID
    status: Status
    recorded: RecordedOnUnit | None
    reference: RecordedReference | None
    problem: Problem | None
    waits_for: UUID | None


class BatchOutcomes(msgspec.Struct, frozen=True, kw_only=True):
    """One outcome for each command, in the order they were sent."""

    drift: Annotated[int, Meta(description="Seconds by which the device's clock is behind.")]
    outcomes: list[OutcomeInBatch]


class CommandsView(View):
    """Commands of a device that had no signal."""

    tag = "commands"
    parser_classes = (BatchBody,)

    @asks
    def post(self, body: BatchOfCommands) -> BatchOutcomes:
        """Send a batch of commands.

        Each is carried out by itself, in order. One that is refused holds back only those that
        depend on it: by `after`, or by naming what it was to make. Nothing is lost when the answer
        is: sent again, the batch repeats what was done and goes on. Signatures and pictures are
        refused: they are sent by themselves. A device of the yard that gives its id as `device.id`
        proves itself by `Device-Key`; one that was revoked is refused, and keeps its commands.
        """
        origin = origin_of(self.request)
        if is_enrolled(body.device.id, str(origin.device or "")):
            raise Refusal("device-unproved", field="device.id")
        device = Device(body.device.id, drift_of(timezone.now(), body.device.clock))
        reader = reader_of(self.person)
        results = carry_out(map(_sent, body.commands), person=self.person, device=device)
        outcomes = [_outcome(result, self.request, reader) for result in results]
        return BatchOutcomes(drift=device.drift, outcomes=outcomes)


def _sent(sent: SentCommand) -> Sent:
    return Sent(
        id=sent.id,
        values=sent.command,
        happened=sent.happened,
        target=sent.target,
        version=sent.version,
        after=sent.after,
        author=sent.author,
    )


def _outcome(result: Result, request: Request, reader: Reader) -> OutcomeInBatch:
    outcome, command = result.outcome, result.command
    of_unit = command is not None and command.stream == "unit"
    return OutcomeInBatch(
        id=result.sent.id,
        status=result.status,
        recorded=shown_on_unit(outcome, reader) if outcome and of_unit else None,
        reference=shown_reference(outcome) if outcome and not of_unit else None,
        # As data: its extensions are members that the struct does not name.
        problem=cast(Any, problem_body(result.wrong, {"request": request}))
        if result.wrong
        else None,
        waits_for=result.waits_for,
    )
