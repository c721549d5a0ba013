"""Attempts at a secret: how many, how long the next one waits, and what a day of guessing gets."""

from datetime import datetime, timedelta

import pytest
from django.db import transaction
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.actions.accounts import attempts
from prep.actions.accounts.attempts import OF_PERSON, OF_PLACE, Budget, Purpose, budget, take
from prep.models import Attempt
from prep.record.refusal import Refusal
from prep.words.reader import ENGLISH
from prep.words.refusals import refusal_text
from tests.actions.accounts.clock import Clock, clock

pytestmark = pytest.mark.django_db

# Seconds that the next attempt waits after the first, second, third … of somebody's (our choice).
WAITS = (0, 0, 0, 0, 30, 60, 120, 240, 480, 900, 900, 900)
HERS = budget(Purpose.PIN, "person", "ada", OF_PERSON)


def waits(*budgets: Budget) -> int:
    """Seconds that an attempt is told to wait; 0 where it is taken, and stays taken."""
    try:
        take(budgets, field="pin")
    except Refusal as no:
        return int(no.details["seconds"])
    return 0


def test_five_attempts_are_free_then_each_wait_is_twice_the_last_up_to_a_quarter_of_an_hour() -> (
    None
):
    """Nobody is shut out for good, and everybody is told how long."""
    with clock() as now:
        for wait in WAITS:
            assert waits(HERS) == 0
            if wait:
                assert waits(HERS) == wait
                now.wait(wait - 1)
                assert waits(HERS) == 1
                now.wait(1)


@pytest.mark.parametrize(
    ("seconds", "said"),
    [(1, "1 second"), (30, "30 seconds"), (60, "1 minute"), (61, "2 minutes"), (900, "15 minutes")],
)
def test_the_wait_is_said_in_words_and_is_never_said_shorter(seconds: int, said: str) -> None:
    """Seconds below a minute, then minutes rounded up."""
    no = Refusal("too-many-attempts", seconds=seconds)
    assert refusal_text(no, ENGLISH) == f"Too many wrong tries. Wait {said}, then try again."


def test_a_shift_later_the_attempts_are_new_even_after_the_longest_wait() -> None:
    """The sweep only takes away what is forgotten anyway."""
    with clock() as now:
        for wait in WAITS:
            waits(HERS)
            now.wait(wait)
        now.wait(8 * 3600 - sum(WAITS) - 1)
        attempts.clear_forgotten()
        assert Attempt.objects.get().used == len(WAITS)
        now.wait(1)
        assert [waits(HERS) for _ in range(6)] == [0, 0, 0, 0, 0, 30]
        now.wait(8 * 3600)
        attempts.clear_forgotten()
        assert not Attempt.objects.exists()


def test_a_right_answer_gives_back_what_it_took_and_no_more() -> None:
    """Four wrong ones stay counted through any number of right ones; a fifth begins the wait."""
    with clock():
        for _ in range(4):
            take([HERS], field="pin")
        for _ in range(20):
            take([HERS], field="pin").give_back()
        assert [waits(HERS), waits(HERS)] == [0, 30]


def test_a_right_answer_at_last_ends_the_wait_that_it_began() -> None:
    """The owner who waited for the seventh attempt is not kept waiting for the eighth."""
    with clock() as now:
        for wait in WAITS[:6]:
            take([HERS], field="pin")
            now.wait(wait)
        take([HERS], field="pin").give_back()
        assert waits(HERS) == 0
        assert waits(HERS) == 120


def test_an_attempt_of_which_one_part_has_to_wait_takes_nothing_of_the_others() -> None:
    """A flood against one name uses up nothing of the address, and the longest wait is told."""
    other = budget(Purpose.PIN, "everybody-at", "192.0.2.7", OF_PLACE)
    with clock():
        for _ in range(5):
            take([HERS], field="pin")
        assert [waits(HERS, other) for _ in range(3)] == [30, 30, 30]
        assert not Attempt.objects.filter(pk=other.key).exists()


def test_an_attempt_stays_taken_whatever_becomes_of_the_judging() -> None:
    """It was committed before: inside a transaction it would be taken back with it."""
    assert take([HERS], field="pin").parts[0].used == 1
    assert Attempt.objects.get().used == 1


@pytest.mark.django_db(transaction=True)
def test_an_attempt_inside_a_transaction_is_an_error_of_the_programmer() -> None:
    """Rolled back with a refused signature, it would be free."""
    with pytest.raises(RuntimeError), transaction.atomic():
        take([HERS], field="pin")


@pytest.mark.parametrize("purpose", Purpose)
def test_each_purpose_has_attempts_of_its_own_and_no_row_says_whose(purpose: Purpose) -> None:
    """A name typed into the wrong field is not kept."""
    key = budget(purpose, "person", "a password by mistake", OF_PERSON).key
    assert len({budget(one, "person", "ada", OF_PERSON).key for one in Purpose}) == len(Purpose)
    assert "mistake" not in key
    assert len(key) == 64


def most_within(moments: list[datetime], seconds: float) -> int:
    """The most of these moments that any span of so many seconds holds."""
    span = timedelta(seconds=seconds)
    return max((sum(at <= one < at + span for one in moments) for at in moments), default=0)


@settings(max_examples=60)
@given(
    st.lists(
        st.sampled_from(["wrong", "wrong", "wrong", "right", "as told", 1, 1200, 8 * 3600]),
        max_size=80,
    )
)
def test_however_right_and_wrong_answers_interleave_no_more_wrong_ones_are_judged(
    steps: list[str | int],
) -> None:
    """Any half minute has at most what is free before and after a shift's end, any shift at most
    what a day of guessing gets in one (`test_what_a_day_of_guessing_gets`) and what is free."""
    Attempt.objects.all().delete()
    judged: list[datetime] = []
    told = 0
    with clock() as now:
        for one in steps:
            if one == "as told" or isinstance(one, int):
                now.wait(told if one == "as told" else int(one))
                continue
            try:
                taken = take([HERS], field="pin")
            except Refusal as no:
                told = no.details["seconds"]
                continue
            if one == "right":
                taken.give_back()
            else:
                judged.append(now.now)
    assert most_within(judged, 30) <= 2 * OF_PERSON
    assert most_within(judged, 8 * 3600) <= 40 + OF_PERSON


def judged_in_a_day(one: Budget, now: Clock) -> int:
    """What somebody gets in a day who asks the very second that it is allowed."""
    end, judged = now.now + timedelta(days=1), 0
    while now.now < end:
        wait = waits(one)
        judged += not wait
        now.wait(wait)
    return judged


@pytest.mark.parametrize(
    ("free", "a_day", "five_weeks"), [(OF_PERSON, 120, 4200), (OF_PLACE, 165, 5775)]
)
def test_what_a_day_of_guessing_gets(free: int, a_day: int, five_weeks: int) -> None:
    """The table in the docstring of `prep.actions.accounts.attempts`."""
    with clock() as now:
        judged = judged_in_a_day(budget(Purpose.PIN, "person", "ada", free), now)
        later = judged_in_a_day(budget(Purpose.PIN, "person", "ada", free), now)
    assert (judged, later) == (a_day, a_day)
    assert judged * 35 == five_weeks
