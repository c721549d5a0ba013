"""Who may do what: every command and named read, by role and by yard, as the one table says."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

import msgspec
import pytest
from django.utils import timezone

from prep.actions import sites
from prep.actions.batches.batch import Device, Sent
from prep.actions.batches.carry_out import carry_out
from prep.actions.batches.refused_commands import refused_id
from prep.actions.perform import perform
from prep.models import Manufacturer, Person
from prep.pages.commands import context_now
from prep.queries.people import roles_at
from prep.queries.records import record_of
from prep.record.command import Command, possible
from prep.record.commands import COMMANDS
from prep.record.examples import example_of
from prep.record.reads import READS, may_read
from prep.record.refusal import Refusal
from prep.record.refusal_codes import RefusalClass
from prep.record.roles import Role
from prep.record.site.commands import GiveRole, OpenSite
from prep.record.unit.commands.releases import HoldUnit
from prep.words.permissions import READS as READ_WORDS
from prep.words.reader import ENGLISH
from prep.words.refusals import refusal_text
from reports.permissions import permission_rows
from tests.actions.guests import admitted
from tests.cast import DOCUMENTS, PIN, Yard
from tests.refusals import everything, undone
from tests.stored_files import own_folders, picture
from tests.tablets import tablet

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    own_folders(settings, tmp_path)


OFFERED = sorted(tag for tag, command in COMMANDS.items() if command.offered)
STAFF = ("ada", "mira", "sol", "rhea", "otto")
HIDDEN = {
    "unit": "no-such-unit",
    "buyer": "no-such-buyer",
    "site": "no-such-site",
    "guest": "no-such-guest",
    "instrument": "no-such-instrument",
    "refused": "no-such-refused",
    "device": "no-such-device",
    "person": "no-such-person-id",
}
NOT_FOR_THIS_PERSON = {"not-allowed", "no-such-unit", "no-such-site"}


def example(tag: str, yard: Yard) -> Command:
    """A command with values that could be sent, at this yard."""
    command = COMMANDS[tag]
    values = example_of(command) | ({"site": yard.site} if hasattr(command, "site") else {})
    if tag.startswith(("model.publish", "procedure.publish")):
        name = "model" if tag.startswith("model") else "procedure"
        values["document"] = (DOCUMENTS / f"{name}.yaml").read_text()
    if tag == "instrument.move":
        values["to"] = yard.site
    if tag == "guest.admit":
        values["units"] = [str(yard.receive())]
    if tag == "unit.join":
        values["joined"] = str(yard.receive())
    if command.signs():
        values["pin"] = PIN
    return msgspec.convert(values, command)


def refusal_of(command: Command, person: Person, target: UUID | str | None) -> Refusal | None:
    """Why a command is refused, None where it is carried out; what it did is taken back."""
    sent = picture() if command.attachment else None
    try:
        with undone():
            perform(command, actor=person, target=target, attachment=sent)
    except Refusal as refusal:
        return refusal
    return None


def target_of(tag: str, yard: Yard, unit: UUID) -> UUID | str | None:
    """What the command is given on."""
    command = COMMANDS[tag]
    if command.creates:
        return None
    targets: dict[str, UUID | str] = {
        "unit": unit,
        "buyer": yard.buyer().pk,
        "site": yard.site,
        "instrument": "W-1",
        "guest": admitted(yard, unit).pk if command.stream == "guest" else "",
        "manufacturer": Manufacturer.objects.values_list("pk", flat=True)[0],
        "device": tablet(yard.mira, yard.site) if command.stream == "device" else "",
        "refused": not_taken(yard, unit) if command.stream == "refused" else "",
        "person": str(yard.ada.pk),
    }
    return targets[command.stream]


def not_taken(yard: Yard, unit: UUID) -> str:
    """What Ada's tablet sent for a unit, and was not taken."""
    hold = Sent(uuid4(), {"command": "unit.hold", "reason": " "}, timezone.now(), str(unit))
    list(carry_out([hold], person=yard.ada, device=Device("Tablet 2", 0)))
    return str(refused_id(hold.id, yard.ada))


def south_manager(yard: Yard) -> Person:
    """The yard's outsider, who manages the yard in the south."""
    site = OpenSite(
        site="south", name="South yard", time_zone="America/Chicago", dealer="Invented Implements"
    )
    sites.open_site(site, founder=yard.otto)
    for role in Role:
        perform(GiveRole(person=yard.outsider.username, role=role), actor=yard.otto, target="south")
    return yard.outsider


@pytest.mark.parametrize("tag", OFFERED)
def test_a_command_is_for_the_roles_of_its_row_and_nobody_else(yard: Yard, tag: str) -> None:
    """403 without the role, whatever the unit's state; denied, it changed nothing."""
    unit = yard.started()
    target = target_of(tag, yard, unit)
    command = example(tag, yard)
    for name in STAFF:
        person = getattr(yard, name)
        may = COMMANDS[tag].permission
        allowed = bool(may.roles & set(roles_at(person, yard.site)))
        allowed |= may.own and target == str(person.pk)
        before = everything()
        refusal = refusal_of(command, person, target)
        assert everything() == before
        if allowed:
            assert refusal is None or refusal.code not in NOT_FOR_THIS_PERSON
        else:
            assert refusal is not None
            assert refusal.code == ("not-allowed" if may.roles else "own-only")


@pytest.mark.parametrize("tag", OFFERED)
def test_at_another_yard_and_at_none_a_command_meets_what_does_not_exist(
    yard: Yard, tag: str
) -> None:
    """Neither a stranger nor the manager of another yard learns that there is a unit."""
    unit = yard.started()
    target = target_of(tag, yard, unit)
    command = example(tag, yard)
    stranger = refusal_of(command, yard.outsider, target)
    assert stranger is not None
    of_no_yard = COMMANDS[tag].stream in {"manufacturer", "model", "procedure"}
    hidden = HIDDEN.get(COMMANDS[tag].stream)
    creates = "no-such-site" if COMMANDS[tag].creates else hidden
    assert stranger.code == ("not-allowed" if of_no_yard else creates)
    if not of_no_yard:
        elsewhere = refusal_of(command, south_manager(yard), target)
        assert elsewhere is not None
        assert (elsewhere.code, elsewhere.details) == (stranger.code, stranger.details)


def states(yard: Yard) -> Iterator[tuple[str, UUID]]:
    """Units in the states a yard has."""
    yield "received", yard.receive()
    yield "started", yard.started()
    yield "sold and ready", yard.ready()
    held = yard.started()
    perform(HoldUnit(reason="parts"), actor=yard.ada, target=held)
    yield "on hold", held
    for_stock = yard.prepared()
    yard.release(for_stock)
    yield "released for stock", for_stock
    released = yard.ready()
    yard.release(released)
    yield "released", released
    handed = yard.ready()
    yard.release(handed)
    yard.hand_over(handed)
    yield "handed over", handed


def test_permission_is_refused_before_anything_of_the_state_is_told(yard: Yard) -> None:
    """An auditor gets the same answer for a unit in any state."""
    for tag in (tag for tag in OFFERED if COMMANDS[tag].stream == "unit"):
        if COMMANDS[tag].creates:
            continue
        answers = set()
        for _, unit in states(yard) if tag == "unit.release" else [("", yard.started())]:
            refusal = refusal_of(example(tag, yard), yard.rhea, unit)
            assert refusal is not None
            answers.add((refusal.code, refusal_text(refusal, ENGLISH)))
        assert len(answers) == 1
        assert answers.pop()[0] == "not-allowed"


def test_what_the_pages_offer_is_what_the_guards_allow(yard: Yard) -> None:
    """A command that is carried out was offered; one that is not offered is refused as a 409."""
    commands = [
        command
        for tag in OFFERED
        if (command := COMMANDS[tag]).stream == "unit" and not command.creates
    ]
    for state, unit in states(yard):
        record = record_of(unit)
        for command in commands:
            context = context_now(yard.mira, frozenset({Role.SERVICE_MANAGER}))
            offered = possible(command, record, context)
            refusal = refusal_of(example(command.tag(), yard), yard.mira, unit)
            what = f"{command.tag()} on a unit {state}"
            if refusal is None:
                assert offered, what
            elif not offered and refusal.code != "not-allowed":
                assert refusal.refusal_class is RefusalClass.STATE or refusal.field, what


def test_each_named_read_is_for_somebody_and_has_its_words() -> None:
    """Auditors see what the office sees; technicians see no buyer's address."""
    assert set(READS) == set(READ_WORDS)
    assert all(permission.roles for permission in READS.values())
    assert not may_read("buyer.view", frozenset({Role.TECHNICIAN}))
    assert may_read("buyer.view", frozenset({Role.AUDITOR}))


def test_the_table_has_a_row_for_each_command_read_and_document() -> None:
    """What only the service itself does is not in it."""
    names = [row.name for row in permission_rows()]
    assert {"unit.release", "buyer.view", "certificate"} <= set(names)
    assert not {"document.issue", "site.open"} & set(names)
    signed = {row.name for row in permission_rows() if row.signed}
    assert signed == {
        *("step.sign", "step.check", "unit.release", "unit.hand-over", "flag.concede"),
        *("plate.correct", "unit.join", "buyer.hold", "buyer.lift-hold", "buyer.erase"),
    }


def test_an_id_that_is_nobodys_is_no_unit(yard: Yard) -> None:
    """A made-up id answers as a unit of another yard does."""
    with pytest.raises(Refusal) as caught:
        perform(HoldUnit(reason="parts"), actor=yard.ada, target=uuid4())
    assert caught.value.code == "no-such-unit"
