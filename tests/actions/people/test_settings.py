"""What people set for themselves, and their training cards."""

from datetime import date
from typing import Any

import pytest
from knox.models import AuthToken

from prep.actions import people
from prep.actions.perform import perform
from prep.models import Card, Event, Person
from prep.queries.readers import reader_of
from prep.record.person.card_states import CardState, card_state
from prep.record.person.commands.cards import RecordCard, WithdrawCard
from prep.record.person.commands.settings import ChangeContact, Prefer
from tests.actions.people.cast import LONG, state_of
from tests.cast import PASSWORD, Yard
from tests.pages.visitor import signed_in
from tests.refusals import refused

pytestmark = pytest.mark.django_db


def test_chosen_units_and_comma_are_how_pages_write_and_entries_are_read(yard: Yard) -> None:
    """Whoever writes decimals with a comma is asked what a point of theirs means."""
    unit = yard.started()
    yard.block_deck(unit)
    yard.acknowledge(unit, "blades")
    box: dict[str, Any] = {"position": "left", "instrument": "W-1"}
    with_a_point = yard.take(unit, "blades", "torque", "450.125 ft lb", **box)
    assert with_a_point.events[0].value == "450.125"
    perform(Prefer(units="metric", numbers="comma"), actor=yard.ada, target=yard.ada.pk)
    ada = Person.objects.get(pk=yard.ada.pk)
    reader = reader_of(ada)
    assert (reader.language, reader.units, reader.decimal_comma) == ("en", "metric", True)
    box |= {"actor": ada, "position": "right"}
    refused("ambiguous", yard.take, unit, "blades", "torque", "450.125 ft lb", **box)
    taken = yard.take(unit, "blades", "torque", "450,125 ft lb", **box)
    assert (taken.events[0].raw, taken.events[0].value) == ("450,125 ft lb", "450.125")


def test_only_people_themselves_choose_and_what_is_left_out_stays(yard: Yard) -> None:
    """An administrator sets nobody's comma: readings hang on it."""
    refused("own-only", perform, Prefer(numbers="comma"), actor=yard.otto, target=yard.ada.pk)
    perform(Prefer(language="fr"), actor=yard.ada, target=yard.ada.pk)
    refused("nothing-changed", perform, Prefer(language="fr"), actor=yard.ada, target=yard.ada.pk)
    state = state_of(yard.ada)
    assert (state.language, state.units, state.numbers) == ("fr", "us", "")
    refused("input-unfit", perform, Prefer(language="de"), actor=yard.ada, target=yard.ada.pk)  # type: ignore[arg-type]


def test_somebody_without_any_role_still_has_their_own_settings(yard: Yard) -> None:
    """Roles are a yard's; an account is its owner's."""
    perform(Prefer(units="metric"), actor=yard.outsider, target=yard.outsider.pk)
    people.change_pin(actor=yard.outsider, password=PASSWORD, pin="8317")
    assert state_of(yard.outsider).units == "metric"


def test_a_changed_password_ends_every_other_sign_in(yard: Yard) -> None:
    """A wrong present one changes nothing."""
    client = signed_in(yard.ada)
    AuthToken.objects.create(user=yard.ada)
    refused("password-wrong", people.change_password, actor=yard.ada, password="no", new=LONG)
    assert client.get("/").status_code == 200
    people.change_password(actor=yard.ada, password=PASSWORD, new=LONG)
    assert client.get("/").status_code == 302
    assert not AuthToken.objects.filter(user=yard.ada).exists()
    assert Person.objects.get(pk=yard.ada.pk).check_password(LONG)


def test_how_somebody_is_reached_stands_beside_the_log_and_can_be_erased(yard: Yard) -> None:
    """The log has a digest, another one each time; an empty field erases."""
    reached = ChangeContact(email="ada@invented.example", phone="555 0142")
    perform(reached, actor=yard.ada, target=yard.ada.pk)
    held = "".join(Event.objects.filter(stream="person").values_list("body", flat=True))
    assert "invented.example" not in held
    assert "555 0142" not in held
    first = state_of(yard.ada).contact
    assert Person.objects.get(pk=yard.ada.pk).contact() == first != ""
    refused("nothing-changed", perform, reached, actor=yard.ada, target=yard.ada.pk)
    perform(ChangeContact(), actor=yard.otto, target=yard.ada.pk)
    row = Person.objects.get(pk=yard.ada.pk)
    assert (row.email, row.phone, state_of(yard.ada).contact) == ("", "", "")
    refused("not-allowed", perform, reached, actor=yard.mira, target=yard.ada.pk)


def test_a_training_card_is_recorded_and_withdrawn_by_the_office(yard: Yard) -> None:
    """Its number stands beside the log; a course names its manufacturer."""
    card = RecordCard(kind="forklift", number="INV-0042", valid_until="2027-03-31")
    refused("not-allowed", perform, card, actor=yard.ada, target=yard.ada.pk)
    perform(card, actor=yard.mira, target=yard.ada.pk)
    row = Card.objects.get()
    assert (row.person_id, row.number, row.valid_until) == (
        yard.ada.pk,
        "INV-0042",
        date(2027, 3, 31),
    )
    body = Event.objects.get(kind="person.card_recorded").body
    assert "INV-0042" not in body
    assert row.digest() in body
    gone = WithdrawCard(card=row.pk, reason="Entered for the wrong person (invented)")
    refused("no-such-card", perform, gone, actor=yard.mira, target=yard.ben.pk)
    perform(gone, actor=yard.otto, target=yard.ada.pk)
    assert Card.objects.get().withdrawn
    refused("card-withdrawn", perform, gone, actor=yard.otto, target=yard.ada.pk)


@pytest.mark.parametrize(
    ("values", "code"),
    [
        ({"kind": "manufacturer-course", "valid_until": "2027-03-31"}, "course-of-whom"),
        (
            {"kind": "tire", "manufacturer": "Larkfield", "valid_until": "2027-03-31"},
            "card-of-no-manufacturer",
        ),
        ({"kind": "tire", "valid_until": "2027-02-30"}, "day-unclear"),
        ({"kind": "tire", "valid_until": "next year"}, "input-unfit"),
        ({"kind": "driving", "valid_until": "2027-03-31"}, "input-unfit"),
    ],
)
def test_a_card_that_does_not_add_up_is_refused(
    yard: Yard, values: dict[str, Any], code: str
) -> None:
    """And nothing is kept."""
    refused(code, perform, RecordCard(**values), actor=yard.otto, target=yard.ada.pk)
    assert not Card.objects.exists()


@pytest.mark.parametrize(
    ("today", "state"),
    [
        (date(2027, 3, 1), CardState.VALID),
        (date(2027, 3, 2), CardState.ENDS_SOON),
        (date(2027, 3, 31), CardState.ENDS_SOON),
        (date(2027, 4, 1), CardState.EXPIRED),
    ],
)
def test_a_card_holds_through_its_last_day(today: date, state: CardState) -> None:
    """Thirty days before, it is told that it ends (common practice, no published source)."""
    assert card_state(date(2027, 3, 31), today) is state
