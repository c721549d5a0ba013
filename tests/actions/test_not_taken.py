"""What a batch brought and the record did not take: kept once, shown, and settled."""

from collections.abc import Mapping
from datetime import timedelta
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.utils import timezone

from prep.actions.batches.batch import Device, Result, Sent
from prep.actions.batches.carry_out import carry_out
from prep.actions.batches.refused_commands import keep_refused
from prep.actions.perform import perform
from prep.models import Event, Person, RefusedCommand
from prep.queries.events import NotTaken, refused_on, refused_on_no_unit
from prep.queries.people import sites_of
from prep.record.refusal import Refusal
from prep.record.refused.commands import SettleRefused
from prep.record.stored_refusals import restored
from prep.record.unit.commands.entries import TakeReading
from prep.rules.phrase import Amount, Phrase
from prep.verify.findings import Finding
from prep.verify.run import findings
from prep.words.reader import ENGLISH
from prep.words.verification.sentences import finding_text
from tests.actions.kept import rows
from tests.cast import Yard
from tests.refusals import refused

TABLET = Device("Tablet 2", 40)
TOO_MUCH = {"command": "reading.take", "step": "pitch", "line": "front", "text": "4 apples"}


def sent(unit: UUID | None, values: Mapping[str, Any], **more: Any) -> Sent:
    """A command of a batch, given now."""
    target = str(unit) if unit else None
    return Sent(more.pop("id", uuid4()), values, timezone.now(), target, **more)


def send(person: Person, *commands: Sent) -> list[Result]:
    """Somebody's tablet sends commands."""
    return list(carry_out(commands, person=person, device=TABLET))


def settle(kept: NotTaken, who: Person) -> Any:
    """Somebody settles what was not taken."""
    return perform(SettleRefused(reason="Entered again"), actor=who, target=kept.id)


def said_of_these(sort: str) -> list[str]:
    """The same in words."""
    return [finding_text(one.code, one.values, ENGLISH) for one in of_these(sort)]


def of_these(sort: str) -> list[Finding]:
    """What verification finds of a sort."""
    return [one for one in findings() if one.sort == sort]


def test_what_was_typed_is_kept_with_who_when_and_why(yard: Yard) -> None:
    """Under the refused command's id, with the device's word for the time."""
    unit = yard.started()
    command = sent(unit, TOO_MUCH, author=yard.ben.username)
    send(yard.ada, command)
    (kept,) = refused_on(unit)
    assert kept.event.command == str(command.id)
    assert (kept.event.asked, kept.event.unit) == ("reading.take", str(unit))
    assert kept.event.fields == {"step": "pitch", "line": "front", "text": "4 apples"}
    assert (kept.name, kept.author) == ("Ada Invented", "Ben Invented")
    assert (kept.device, kept.drift) == ("Tablet 2", 40)
    assert kept.event.happened == command.happened.strftime("%Y-%m-%dT%H:%M:%S.%fZ")
    assert kept.event.refusal["code"] == "unreadable"
    assert kept.open
    assert of_these("refused") == []


def test_it_is_kept_once_however_often_and_for_whatever_reason_it_is_refused(yard: Yard) -> None:
    """The tablet sends it again and again; meanwhile the unit is put on hold."""
    unit = yard.started()
    command = sent(unit, TOO_MUCH)
    send(yard.ada, command, command)
    hold = sent(unit, {"command": "unit.hold", "reason": "Parts"})
    send(yard.ada, hold, command)
    (kept,) = refused_on(unit)
    assert kept.event.refusal["code"] == "unreadable"
    assert Event.objects.filter(kind="command.refused").count() == 1


def test_one_id_from_two_people_is_kept_of_both(yard: Yard) -> None:
    """Nobody can keep another's entry from being kept."""
    unit = yard.started()
    command = sent(unit, TOO_MUCH)
    send(yard.ada, command)
    send(yard.ben, command)
    assert sorted(kept.name for kept in refused_on(unit)) == ["Ada Invented", "Ben Invented"]


def test_personal_and_secret_fields_are_never_kept(yard: Yard) -> None:
    """Nor what the command has no field for: nobody knows whose name that is."""
    unit = yard.ready()
    hand_over = {
        "command": "unit.hand-over",
        "recipient": "Wes Fen (invented)",
        "recipent": "Wes Fen (invented)",
        "relation": "owner",
        "pin": "90210",
    }
    buyer = {"command": "buyer.add", "site": yard.site, "name": "Wes Fen (invented)", "fax": "Fen"}
    send(
        yard.sol, sent(unit, hand_over), sent(None, buyer), sent(None, {"command": "x", "y": "Fen"})
    )
    bodies = Event.objects.filter(kind="command.refused").values_list("body", flat=True)
    assert len(bodies) == 3
    assert not any("Fen" in body or "90210" in body for body in bodies)
    (kept,) = refused_on(unit)
    assert kept.event.fields == {"relation": "owner"}


def test_what_somebody_else_wrote_of_a_buyer_is_not_kept_with_a_refusal(yard: Yard) -> None:
    """Neither the refusal nor the log says what the details are now."""
    buyer = yard.buyer()
    stale = {"command": "buyer.amend", "name": "Fen (invented)", "seen": "0" * 64}
    (result,) = send(yard.sol, sent(buyer.pk, stale))
    assert (str(result.wrong), getattr(result.wrong, "details", None)) == ("buyer-changed", {})
    body = Event.objects.get(kind="command.refused").body
    assert "Fen" not in body


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        (1.5, "1.5"),
        (2**60, str(2**60)),
        ([[[1.5]]], "[[[1.5]]]"),
        ("x" * 5000, "x" * 4000 + "…"),
        ({"deep": ["4 in"]}, {"deep": ["4 in"]}),
        (None, None),
    ],
    ids=["a float", "a large number", "floats", "a long text", "an object", "null"],
)
def test_whatever_stands_in_a_field_is_kept_as_an_event_can_hold_it(
    yard: Yard, typed: Any, kept: Any
) -> None:
    """A field that cannot be read is the one that must not be lost."""
    unit = yard.started()
    send(yard.ada, sent(unit, {**TOO_MUCH, "text": typed}))
    (one,) = refused_on(unit)
    assert one.event.fields["text"] == kept
    assert of_these("event") == []


def test_a_command_that_is_taken_later_is_settled_by_that(yard: Yard) -> None:
    """Its step was not open yet when it was first sent."""
    unit = yard.started()
    reading = {"command": "reading.take", "step": "splines", "line": "count", "text": "6"}
    command = sent(unit, reading)
    assert [one.status for one in send(yard.ada, command)] == ["refused"]
    yard.assign(unit)
    assert [one.status for one in send(yard.ada, command)] == ["done"]
    (kept,) = refused_on(unit)
    assert kept.settling is not None
    assert (kept.settling.name, kept.settling.reason) == ("Ada Invented", "")
    refused("already-settled", settle, kept, yard.mira)


def test_a_command_that_was_done_before_does_not_settle_another_one_of_its_id(yard: Yard) -> None:
    """What the second one said was never taken."""
    unit = yard.started()
    first = sent(unit, {**TOO_MUCH, "text": "4 in"})
    send(yard.ada, first)
    send(yard.ada, sent(unit, {**TOO_MUCH, "text": "5 in"}, id=first.id))
    (kept,) = refused_on(unit)
    assert (kept.event.refusal["code"], kept.open) == ("command-reused", True)


@pytest.mark.parametrize(
    ("who", "allowed"),
    [("ada", True), ("ben", True), ("mira", True), ("sol", False), ("otto", False)],
)
def test_the_sender_the_author_and_a_service_manager_settle_it(
    yard: Yard, who: str, allowed: bool
) -> None:
    """With a reason; anybody else of the yard is told whom to ask."""
    unit = yard.started()
    send(yard.ada, sent(unit, TOO_MUCH, author=yard.ben.username))
    (kept,) = refused_on(unit)
    if not allowed:
        refused("not-yours-to-settle", settle, kept, getattr(yard, who))
        assert refused_on(unit)[0].open
        return
    settle(kept, getattr(yard, who))
    settling = refused_on(unit)[0].settling
    assert settling is not None
    assert settling.reason == "Entered again"
    refused("already-settled", settle, kept, yard.mira)
    assert of_these("refused") == []


def test_a_unit_that_was_not_received_is_shown_at_its_yard(yard: Yard) -> None:
    """To everybody who works there, and to nobody else."""
    receive = {"command": "unit.receive", "site": yard.site, "maker": "Larkfield", "serial": " "}
    send(yard.ada, sent(None, receive))
    (kept,) = refused_on_no_unit(yard.sol, sites_of(yard.sol))
    assert kept.event.fields["maker"] == "Larkfield"
    assert refused_on_no_unit(yard.outsider, sites_of(yard.outsider)) == []


def test_what_is_of_no_yard_of_theirs_is_for_the_sender_alone(yard: Yard) -> None:
    """Nobody's page shows what a stranger sent for a unit that they may not see."""
    send(yard.ada, sent(uuid4(), TOO_MUCH))
    (kept,) = refused_on_no_unit(yard.ada, sites_of(yard.ada))
    assert kept.event.unit == ""
    assert refused_on_no_unit(yard.mira, sites_of(yard.mira)) == []
    refused("no-such-refused", settle, kept, yard.mira)
    settle(kept, yard.ada)
    assert refused_on_no_unit(yard.ada, sites_of(yard.ada)) == []


def test_an_impossible_moment_is_kept_as_it_was_said(yard: Yard) -> None:
    """It is what the entry was refused for."""
    unit = yard.started()
    future = timezone.now() + timedelta(days=400)
    send(yard.ada, Sent(uuid4(), {**TOO_MUCH, "text": "4 in"}, future, str(unit)))
    (kept,) = refused_on(unit)
    assert kept.event.refusal["code"] == "happened-in-future"
    assert kept.event.happened == future.strftime("%Y-%m-%dT%H:%M:%S.%fZ")
    assert kept.recorded < future


def test_a_row_that_was_altered_or_removed_is_found(yard: Yard) -> None:
    """The index of what was not taken follows from the log, as every other."""
    unit = yard.started()
    send(yard.ada, sent(unit, TOO_MUCH))
    key = RefusedCommand.objects.get().pk
    rows(RefusedCommand).update(settled=True)
    assert said_of_these("refused") == [f"Altered: entry not taken {key}; columns: settled."]
    rows(RefusedCommand).all().delete()
    (missing,) = said_of_these("refused")
    assert f"entry not taken {key}" in missing


def test_the_reason_comes_back_as_it_was_with_every_number_in_it(yard: Yard) -> None:
    """The log holds no floats, and a reader is told in units of their own."""
    unit = yard.started()
    outside = Phrase("outside", {"least": Amount(0.1, "m"), "most": 2**70, "exact": 0.5})
    why = Refusal("rule-refused", field="text", rule="driveline.half_lengths", why=outside)
    keep_refused(sent(unit, TOO_MUCH), TakeReading, why, person=yard.ada, device=TABLET)
    (kept,) = refused_on(unit)
    again = restored(kept.event.refusal)
    assert (again.code, again.field) == ("rule-refused", "text")
    values = again.details["why"].values
    assert values == {"least": Amount(0.1, "m"), "most": str(2**70), "exact": 0.5}
    assert of_these("event") == []


def test_what_cannot_be_kept_stays_on_the_tablet(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A failure of ours is not told as a refusal: the tablet would throw the entry away."""
    unit = yard.started()
    monkeypatch.setattr("prep.actions.batches.carry_out.keep_refused", None)
    flag = {"command": "flag.raise", "text": "Decal torn"}
    first, second = send(yard.ada, sent(unit, TOO_MUCH), sent(unit, flag))
    assert (first.status, type(first.wrong), second.status) == ("held", TypeError, "done")
