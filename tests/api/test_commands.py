"""Every offered command over the API: its address, its body, and who may not give it."""

from typing import Any
from urllib.parse import urlencode
from uuid import uuid4

import msgspec
import pytest
from jsonschema import Draft202012Validator

from prep.queries.manufacturers import manufacturer
from prep.record.command import Command
from prep.record.commands import COMMANDS
from prep.record.roles import Role
from tests.actions.guests import admitted
from tests.actions.test_permissions import not_taken
from tests.api.client import Answer, Api, schema
from tests.cast import Yard
from tests.programs import program, program_token
from tests.refusals import everything
from tests.stored_files import picture
from tests.tablets import tablet

ADDRESSES = {
    "unit.receive": "units/receive",
    "model.assign": "units/{unit}/model/assign",
    "sheet.start": "units/{unit}/sheet/start",
    "caution.acknowledge": "units/{unit}/caution/acknowledge",
    "reading.take": "units/{unit}/reading/take",
    "reading.omit": "units/{unit}/reading/omit",
    "check.complete": "units/{unit}/check/complete",
    "setting.check": "units/{unit}/setting/check",
    "photo.attach": "units/{unit}/photo/attach",
    "photo.mark-people": "units/{unit}/photo/mark-people",
    "photo.unmark-people": "units/{unit}/photo/unmark-people",
    "page.attach": "units/{unit}/page/attach",
    "step.sign": "units/{unit}/step/sign",
    "step.check": "units/{unit}/step/check",
    "step.skip": "units/{unit}/step/skip",
    "step.reopen": "units/{unit}/step/reopen",
    "unit.release": "units/{unit}/release",
    "unit.hand-over": "units/{unit}/hand-over",
    "buyer.assign": "units/{unit}/buyer/assign",
    "buyer.withdraw": "units/{unit}/buyer/withdraw",
    "flag.raise": "units/{unit}/flag/raise",
    "flag.close": "units/{unit}/flag/close",
    "flag.concede": "units/{unit}/flag/concede",
    "shortage.note": "units/{unit}/shortage/note",
    "shortage.arrive": "units/{unit}/shortage/arrive",
    "damage.note": "units/{unit}/damage/note",
    "location.set": "units/{unit}/location/set",
    "unit.hold": "units/{unit}/hold",
    "unit.resume": "units/{unit}/resume",
    "unit.reopen": "units/{unit}/reopen",
    "sheet.move": "units/{unit}/sheet/move",
    "model.correct": "units/{unit}/model/correct",
    "plate.attach": "units/{unit}/plate/attach",
    "plate.correct": "units/{unit}/plate/correct",
    "unit.join": "units/{unit}/join",
    "registration.send": "units/{unit}/registration/send",
    "registration.answer": "units/{unit}/registration/answer",
    "buyer.add": "buyers/add",
    "buyer.amend": "buyers/{buyer}/amend",
    "buyer.hold": "buyers/{buyer}/hold",
    "buyer.lift-hold": "buyers/{buyer}/lift-hold",
    "buyer.erase": "buyers/{buyer}/erase",
    "guest.admit": "guests/admit",
    "guest.end": "guests/{guest}/end",
    "guest.erase": "guests/{guest}/erase",
    "instrument.record": "instruments/record",
    "instrument.move": "instruments/{instrument}/move",
    "manufacturer.add": "manufacturers/add",
    "manufacturer.correct": "manufacturers/{manufacturer}/correct",
    "model.publish": "models/publish",
    "procedure.publish": "procedures/publish",
    "site.open": "sites/open",
    "site.describe": "sites/{site}/describe",
    "site.set-hours": "sites/{site}/set-hours",
    "site.set-holidays": "sites/{site}/set-holidays",
    "site.set-letterhead": "sites/{site}/set-letterhead",
    "site.set-logo": "sites/{site}/set-logo",
    "site.remove-logo": "sites/{site}/remove-logo",
    "person.invite": "sites/{site}/person/invite",
    "invitation.renew": "people/{person}/invitation/renew",
    "invitation.withdraw": "people/{person}/invitation/withdraw",
    "system.add": "sites/{site}/system/add",
    "member.add": "sites/{site}/member/add",
    "member.remove": "sites/{site}/member/remove",
    "person.reset": "people/{person}/reset",
    "person.suspend": "people/{person}/suspend",
    "person.restore": "people/{person}/restore",
    "person.leave": "people/{person}/leave",
    "person.sign-out": "people/{person}/sign-out",
    "person.rename": "people/{person}/rename",
    "person.contact": "people/{person}/contact",
    "person.prefer": "people/{person}/prefer",
    "card.record": "people/{person}/card/record",
    "card.withdraw": "people/{person}/card/withdraw",
    "token.issue": "tokens/issue",
    "token.issue-system": "tokens/issue-system",
    "token.revoke": "tokens/{token}/revoke",
    "keeper.add": "sites/{site}/keeper/add",
    "keeper.remove": "sites/{site}/keeper/remove",
    "device.enroll": "devices/enroll",
    "device.rename": "devices/{device}/rename",
    "device.revoke": "devices/{device}/revoke",
    "refused.settle": "refused/{refused}/settle",
}
OFFERED = [command for command in COMMANDS.values() if command.offered]
WITH_A_PICTURE = [command for command in OFFERED if command.attachment]
WITH_A_BODY = [command for command in OFFERED if not command.attachment]


def of(commands: list[type[Command]]) -> pytest.MarkDecorator:
    """A test of each of some commands."""
    return pytest.mark.parametrize("command", commands, ids=[one.tag() for one in commands])


def operation(command: type[Command]) -> dict[str, Any]:
    """The command's endpoint in the published schema."""
    found: dict[str, Any] = schema()["paths"][f"/api/v1/{ADDRESSES[command.tag()]}"]["post"]
    return found


def body_of(command: type[Command]) -> dict[str, Any]:
    """The published example of a command's body."""
    content = operation(command)["requestBody"]["content"]
    assert list(content) == ["application/json"]
    (example,) = content["application/json"]["examples"].values()
    body: dict[str, Any] = example["value"]
    return body


def query_of(command: type[Command]) -> dict[str, str]:
    """The published examples of a command's parameters."""
    query = [one for one in operation(command)["parameters"] if one["in"] == "query"]
    return {one["name"]: one["schema"]["examples"][0] for one in query if one.get("required")}


def valid(command: type[Command], body: dict[str, Any]) -> bool:
    """Whether a body is one that the published schema allows."""
    described = operation(command)["requestBody"]["content"]["application/json"]["schema"]
    return Draft202012Validator({**described, "components": schema()["components"]}).is_valid(body)


def test_every_offered_command_has_its_address_and_no_other_has_one() -> None:
    """The noun in the middle, unless it is what the address starts with."""
    assert list(ADDRESSES) == [command.tag() for command in OFFERED]
    posts = {path: one["post"] for path, one in schema()["paths"].items() if "post" in one}
    named = {one["operationId"]: path.removeprefix("/api/v1/") for path, one in posts.items()}
    ids = {tag: tag.replace(".", "_").replace("-", "_") for tag in COMMANDS}
    assert {tag: named[ids[tag]] for tag in COMMANDS if ids[tag] in named} == ADDRESSES


@of(WITH_A_BODY)
def test_the_published_example_of_a_command_can_be_sent_as_it_is(command: type[Command]) -> None:
    """It is valid by the schema of the body, and it is the command."""
    body = body_of(command)
    assert valid(command, body)
    assert isinstance(msgspec.convert(body, command), command)


@of(WITH_A_BODY)
def test_a_body_need_not_say_which_command_it_is_and_never_says_another(
    command: type[Command],
) -> None:
    """The address says it already; a body taken from a batch of commands says it again."""
    tagged = {"command": command.tag(), **body_of(command)}
    assert valid(command, tagged)
    assert msgspec.convert(tagged, command) == msgspec.convert(body_of(command), command)
    assert not valid(command, {**tagged, "command": "unit.scrap"})
    component = schema()["components"]["schemas"][command.__name__]
    fields = msgspec.structs.fields(command)
    assert component.get("required", []) == [one.encode_name for one in fields if one.required]
    assert list(component["properties"]) == ["command", *command.__struct_fields__]


@of(WITH_A_PICTURE)
def test_a_command_with_a_picture_has_its_fields_in_the_address(command: type[Command]) -> None:
    """The body is the picture, alone or as a part of a form."""
    described = operation(command)
    assert list(described["requestBody"]["content"]) == ["image/*", "multipart/form-data"]
    query = {one["name"] for one in described["parameters"] if one["in"] == "query"}
    assert query == set(command.__struct_fields__)
    assert isinstance(msgspec.convert(query_of(command), command, strict=False), command)


@of(OFFERED)
def test_whoever_holds_none_of_its_roles_may_not_give_a_command(
    api: Api, yard: Yard, command: type[Command]
) -> None:
    """Each of the yard's other people, the auditor always among them; nothing changes."""
    roles = {
        Role.TECHNICIAN: yard.ada,
        Role.SERVICE_MANAGER: yard.mira,
        Role.SALES: yard.sol,
        Role.AUDITOR: yard.rhea,
        Role.ADMINISTRATOR: yard.otto,
    }
    may = command.permission
    others = [person for role, person in roles.items() if role not in may.roles]
    if may.own:
        others.remove(yard.ada)  # whom the example is about
    address = ADDRESSES[command.tag()].format(
        unit=(unit := yard.started()),
        buyer=yard.buyer().pk,
        site=yard.site,
        instrument="W-1",
        guest=admitted(yard, unit).pk,
        manufacturer=manufacturer("Larkfield").id,
        refused=not_taken(yard, unit),
        token=program_token(yard),
        device=tablet(yard.mira, yard.site),
        person=yard.ada.pk,
    )
    program(yard)
    before = everything()
    for person in others:
        answer = sent(api, yard, command, address, person)
        refused = "not-allowed" if may.roles else "own-only"
        assert (answer.status, answer.code) == (403, refused)
    assert (yard.rhea in others) == (may.roles != frozenset(Role))
    assert everything() == before


def sent(api: Api, yard: Yard, command: type[Command], address: str, person: Any) -> Answer:
    """The published example, sent by a person to their own yard."""
    headers = {"Idempotency-Key": str(uuid4())}
    if command.must_match:
        headers["If-Match"] = "*"
    if command.attachment:
        path = f"{address}?{urlencode(query_of(command))}"
        given: dict[str, Any] = {"content": picture(), "content_type": "image/png"}
    else:
        path, body = address, body_of(command)
        given = {"body": {**body, "site": yard.site} if "site" in body else body}
    return api.send("POST", path, person, headers=headers, **given)
