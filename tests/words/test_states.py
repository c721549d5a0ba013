"""The words of states: of a unit, a step, a registration; and the titles of the yard's filters."""

from typing import Final

import pytest
from django.db.models import QuerySet

from prep.models import Unit
from prep.queries.yard import WANTED, for_the_desk
from prep.record.unit.commands.registrations import Registration, State
from prep.record.unit.readiness import Answer
from prep.record.unit.sheet import Status
from prep.record.unit.views.unit_state import UnitState
from prep.words.reader import ENGLISH
from prep.words.unit.registrations import STATES, registration_text
from prep.words.unit.states import WORDS, shown_state
from prep.words.unit.step_statuses import STATUSES
from prep.words.yard import FILTERS

NOT, STOCK, BUYER = Answer.NOT_READY, Answer.READY_FOR_STOCK, Answer.READY_FOR_BUYER

# State, answer, whether sold; and what is shown of it.
SHOWN: Final = [
    ("received", NOT, False, "○ received"),
    ("received", NOT, True, "○ sold, received"),
    ("in-preparation", NOT, False, "○ in preparation"),
    ("in-preparation", NOT, True, "○ sold, in preparation"),
    ("on-hold", NOT, True, "○ sold, on hold"),
    ("ready-for-stock", STOCK, False, "◐ ready for stock"),
    ("ready-for-stock", STOCK, True, "◐ sold, not matched to the buyer's tractor yet"),
    ("ready-for-buyer", BUYER, True, "● ready for its buyer"),
    ("released-for-stock", STOCK, False, "◐ released to stock"),
    ("released-for-stock", STOCK, True, "◐ sold, not matched to the buyer's tractor yet"),
    ("released-for-stock", BUYER, True, "● ready for its buyer"),
    ("released-for-stock", NOT, False, "○ released to stock, but not ready"),
    ("released-for-buyer", BUYER, True, "● released for delivery"),
    ("released-for-buyer", NOT, True, "○ released for delivery, but not ready"),
    ("handed-over", BUYER, True, "● handed over"),
    ("handed-over", NOT, True, "● handed over"),
]


@pytest.mark.parametrize(("state", "answer", "sold", "shown"), SHOWN)
def test_a_units_state_with_its_sale_and_readiness(
    state: str, answer: Answer, sold: bool, shown: str
) -> None:
    """One word and mark for each; the tone follows the mark."""
    told = shown_state(state, answer, ENGLISH, sold=sold)
    assert f"{told.mark} {told.word}" == shown
    assert told.tone == {"●": "yes", "◐": "half", "○": "no"}[told.mark]


def test_every_token_has_its_words() -> None:
    """States of units, registrations and steps, and the filters of the yard."""
    assert set(WORDS) == set(UnitState)
    assert set(STATUSES) == set(Status)
    assert set(STATES) == set(State.__args__)  # type: ignore[attr-defined]  # a Literal's tokens
    desk = for_the_desk({}, QuerySet(Unit).none())
    assert set(FILTERS) == {*WANTED, *desk}


@pytest.mark.parametrize(
    ("state", "due", "text"),
    [
        ("due", "2026-12-25", "due by 25 Dec 2026"),
        ("due", "", "not sent yet"),
        ("overdue", "2026-12-25", "overdue since 25 Dec 2026"),
        ("sent", "2026-12-25", "sent to the manufacturer"),
        ("refused", "", "refused by the manufacturer"),
    ],
)
def test_a_registration_names_its_deadline_while_that_matters(
    state: State, due: str, text: str
) -> None:
    """Sent or answered, the deadline is past concern."""
    assert registration_text(Registration(state, due, 1, ""), ENGLISH) == text
