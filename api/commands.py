"""The endpoint of every command, made from its struct.

A command with the tag `noun.verb` is posted to `…/{target}/noun/verb`, without the noun where it is
the kind of stream itself, and without a target where it starts a stream: `units/{unit}/flag/close`,
`units/{unit}/release`, `units/receive`. The body is the command's fields.
"""

from functools import partial
from typing import Any, Final
from uuid import UUID

from django.http import HttpResponseBase
from django.urls import URLPattern, path
from rest_framework.parsers import MultiPartParser
from rest_framework.request import Request
from rest_framework.response import Response

from api.answers.outcomes import shown_invitation, shown_outcome, shown_reference
from api.inputs import read_body, read_picture, read_query
from api.media_types import PictureBody
from api.operations import View
from api.preconditions import etag, submission_of, version_wanted
from api.schema import describe_command
from api.throttles import Check, Write
from prep.actions.people import opener_of
from prep.actions.perform import perform
from prep.actions.submission import Outcome
from prep.queries.readers import reader_of
from prep.queries.units import seen_by
from prep.record.command import Command
from prep.record.commands import COMMANDS
from prep.record.model.commands import PublishModel
from prep.record.person.commands.invitations import OPENING
from prep.record.procedure.commands import PublishProcedure
from prep.words.reader import Reader

# The plural of each kind of stream, and the converter of its ids.
STREAMS: Final = {
    "unit": ("units", "uuid"),
    "buyer": ("buyers", "uuid"),
    "guest": ("guests", "uuid"),
    "instrument": ("instruments", "str"),
    "manufacturer": ("manufacturers", "uuid"),
    "model": ("models", "str"),
    "procedure": ("procedures", "str"),
    "site": ("sites", "str"),
    "device": ("devices", "uuid"),
    "person": ("people", "int"),
    "refused": ("refused", "uuid"),
}
# Of an answer with a secret in it.
UNKEPT: Final = {"Cache-Control": "no-store"}
OFFERED: Final = [command for command in COMMANDS.values() if command.offered]


def address_of(command: type[Command]) -> str:
    """The route of a command, below the root of the API."""
    plural, converter = STREAMS[command.stream]
    target = "" if command.creates else f"/<{converter}:{command.stream}>"
    noun = "" if command.noun() == command.stream else f"/{command.noun()}"
    return f"{plural}{target}{noun}/{command.verb()}"


def view_of(command: type[Command]) -> type[View]:
    """The view that carries a command out."""

    def post(self: View, request: Request, **address: Any) -> HttpResponseBase:
        return _carry_out(command, self, request, address.get(command.stream))

    members: dict[str, Any] = {
        "__doc__": f"The command {command.tag()}.",
        "tag": STREAMS[command.stream][0],
        "post": describe_command(post, command),
    }
    if issubclass(command, PublishProcedure | PublishModel):
        members["throttle_classes"] = (Write, Check)
    if command.attachment:
        members["parser_classes"] = (PictureBody, MultiPartParser)
    return type(f"{command.__name__}View", (View,), members)


def _carry_out(
    command: type[Command], view: View, request: Request, target: UUID | str | int | None
) -> HttpResponseBase:
    """201 where the command was carried out now, 200 where it had been before."""
    given = read_query(request, command) if command.attachment else read_body(request, command)
    attachment = read_picture(request) if command.attachment else None
    version = None
    if command.stream == "unit" and isinstance(target, UUID):
        now = partial(_version, view, target)
        version = version_wanted(request, now, required=command.must_match)
    submission = submission_of(request, version)
    outcome = perform(
        given, actor=view.person, target=target, submission=submission, attachment=attachment
    )
    if issubclass(command, OPENING):
        shown = shown_invitation(outcome, opener_of(submission.id))
        return Response(shown, 200 if outcome.repeated else 201, headers=UNKEPT)
    return _answer(command, outcome, reader_of(view.person))


def _version(view: View, unit: UUID) -> int:
    return seen_by(view.person, unit).version


def _answer(command: type[Command], outcome: Outcome, reader: Reader) -> HttpResponseBase:
    of_unit = command.stream == "unit"
    shown = shown_outcome(outcome, reader) if of_unit else shown_reference(outcome)
    status = 200 if outcome.repeated else 201
    return Response(shown, status, headers={"ETag": etag(outcome.version)})


urlpatterns: Final[list[URLPattern]] = [
    path(address_of(command), view_of(command).as_view()) for command in OFFERED
]
