"""Entries that a shared tablet sends for somebody else: who answers for them, who may sign them."""

from typing import Any
from uuid import UUID

import pytest

from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.models import Event
from prep.queries.records import record_of
from prep.record.command import Command
from prep.record.roles import Role
from prep.record.site.commands import GiveRole
from prep.record.unit.commands.entries import CompleteCheck, TakeReading
from prep.record.unit.commands.flags import GrantConcession, RaiseFlag
from prep.record.unit.commands.releases import HoldUnit
from prep.record.unit.commands.shortages import NoteShortage
from prep.record.unit.commands.steps import AcknowledgeCautions
from prep.record.unit.state import Named
from prep.record.unit.views.entry_view import EntryView, entry_view
from tests.cast import PIN, Yard
from tests.record.unit.handwriting import attached, by_ada, started_yesterday
from tests.record.unit.invariants import rebuilt_differs
from tests.refusals import refused

FRONT = TakeReading(step="pitch", line="front", text="4 in")


def send(yard: Yard, unit: UUID, command: Command, author: str, **more: Any) -> Any:
    """Ada's tablet sends a command for somebody."""
    who = more.pop("actor", yard.ada)
    return perform(command, actor=who, target=unit, submission=Submission(author=author, **more))


def front(unit: UUID) -> EntryView:
    """The current entry of the front tip's box."""
    entry = record_of(unit).boxes["pitch", "front", ""].current
    assert entry is not None
    return entry_view(entry)


def test_the_sender_answers_for_an_entry_and_the_author_stands_beside(yard: Yard) -> None:
    """In the hashed envelope of the event, whatever the kind of entry."""
    unit = yard.started()
    send(yard, unit, FRONT, yard.ben.username)
    send(yard, unit, RaiseFlag(text="Decal torn"), yard.ben.username)
    send(yard, unit, NoteShortage(part="Chain guard"), yard.ben.username)
    ben = {"id": str(yard.ben.pk), "name": "Ben Invented"}
    for kind in ("reading.taken", "flag.raised", "shortage.noted"):
        event = Event.objects.get(kind=kind)
        assert (event.actor, event.actor_name) == (str(yard.ada.pk), "Ada Invented")
        assert event.envelope()["named"] == ben
    started = Event.objects.get(kind="sheet.started")
    assert started.envelope()["named"] is None
    assert rebuilt_differs(unit) == []


def test_an_entry_is_named_by_the_device_until_its_author_signs_the_step(yard: Yard) -> None:
    """Then it is theirs."""
    unit = yard.started()
    send(yard, unit, FRONT, yard.ben.username)
    send(yard, unit, TakeReading(step="pitch", line="finish", text="good"), yard.ben.username)
    assert (front(unit).writer, front(unit).named) == ("Ada Invented", "Ben Invented")
    yard.sign(unit, "pitch", yard.ben)
    assert (front(unit).writer, front(unit).named) == ("Ben Invented", "")
    assert front(unit).stamp.named == Named(str(yard.ben.pk), "Ben Invented")


def test_a_step_with_named_entries_is_signed_by_one_of_those_named_or_by_the_sender(
    yard: Yard,
) -> None:
    """The sender's signature does not make them the author's."""
    unit = yard.started()
    send(yard, unit, FRONT, yard.ben.username)
    yard.take(unit, "pitch", "finish", "good")
    no = refused("not-the-author", yard.sign, unit, "pitch", yard.mira)
    assert no.details == {
        "step_title": "Level fore and aft",
        "authors": ("Ben Invented",),
        "senders": ("Ada Invented",),
    }
    yard.sign(unit, "pitch", yard.ada)
    assert (front(unit).writer, front(unit).named) == ("Ada Invented", "Ben Invented")


def test_neither_author_nor_sender_is_the_second_person(yard: Yard) -> None:
    """Nobody checks what they did themselves."""
    unit = yard.started()
    yard.block_deck(unit)
    yard.acknowledge(unit, "blades")
    for place in ("left", "right"):
        torque = TakeReading(
            step="blades", line="torque", position=place, text="450 ft lb", instrument="W-1"
        )
        send(yard, unit, torque, yard.ben.username)
    yard.sign(unit, "blades")
    refused("same-person", yard.second, unit, "blades", yard.ben)
    yard.second(unit, "blades", yard.mira)


def test_nobody_accepts_what_a_device_says_they_found_themselves(yard: Yard) -> None:
    """A concession is for somebody else's flag, whoever sent it."""
    unit = yard.started()
    flag = send(yard, unit, RaiseFlag(text="Decal torn"), yard.mira.username).events[0].flag
    concede = GrantConcession(flag=flag, reason="As agreed", pin=PIN)
    refused("own-concession", perform, concede, actor=yard.mira, target=unit)


@pytest.mark.parametrize("who", ["sol", "rhea", "outsider", "nobody"])
def test_only_who_does_service_at_the_yard_can_be_named(yard: Yard, who: str) -> None:
    """Neither sales, nor the auditor, nor somebody of no yard, nor nobody at all."""
    unit = yard.started()
    name = getattr(yard, who).username if hasattr(yard, who) else who
    no = refused("no-such-author", send, yard, unit, FRONT, name)
    assert no.details == {"author": name}


@pytest.mark.parametrize(
    "command", [HoldUnit(reason="Parts"), AcknowledgeCautions(step="block")], ids=lambda c: c.tag()
)
def test_what_only_the_person_can_do_names_nobody(yard: Yard, command: Command) -> None:
    """A decision is whose it is; cautions are read by whoever says so."""
    refused("author-unwanted", send, yard, yard.started(), command, yard.ben.username)


def test_a_copied_entry_has_its_writer_and_no_other_author(yard: Yard) -> None:
    """The page says who wrote it."""
    unit = started_yesterday(yard)
    paper = by_ada(yard, attached(yard, unit))
    copy = TakeReading(step="pitch", line="front", text="4 in", paper=paper)
    refused("author-unwanted", send, yard, unit, copy, yard.ben.username)


def test_who_is_named_must_be_one_who_does_such_work(yard: Yard) -> None:
    """Otto is named for a technician's step once he is a service manager only of name."""
    unit = yard.started()
    record = record_of(unit)
    assert record.procedure is not None
    step = record.procedure.steps["pitch"]
    for_technicians = [role for role in Role if role in step.who]
    assert for_technicians == [Role.TECHNICIAN, Role.SERVICE_MANAGER]
    perform(
        GiveRole(person=yard.otto.username, role=Role.SERVICE_MANAGER),
        actor=yard.otto,
        target=yard.site,
    )
    send(yard, unit, FRONT, yard.otto.username)
    assert front(unit).named == "Otto Invented"


def test_one_named_for_themselves_is_the_author_alone(yard: Yard) -> None:
    """A tablet may name its own person."""
    unit = yard.started()
    send(yard, unit, FRONT, yard.ada.username)
    assert Event.objects.get(kind="reading.taken").named == ""


def test_a_command_sent_again_with_another_author_is_another_command(yard: Yard) -> None:
    """The first one stands, in the first author's name."""
    unit = yard.started()
    first = Submission(author=yard.ben.username)
    perform(FRONT, actor=yard.ada, target=unit, submission=first)
    other = Submission(first.id, author=yard.mira.username)
    refused("command-reused", perform, FRONT, actor=yard.ada, target=unit, submission=other)
    again = perform(FRONT, actor=yard.ada, target=unit, submission=first)
    assert again.repeated


def test_an_entry_in_somebodys_name_needs_the_cautions_read_by_who_sends_it(yard: Yard) -> None:
    """As for a copied page; the author reads them before signing."""
    unit = yard.started()
    blocked = CompleteCheck(step="block", line="blocked", answer=True)
    yard.acknowledge(unit, "block", yard.ben)
    refused("caution-first", send, yard, unit, blocked, yard.ben.username)
    yard.acknowledge(unit, "block")
    send(yard, unit, blocked, yard.ben.username)
    yard.sign(unit, "block", yard.ben)
