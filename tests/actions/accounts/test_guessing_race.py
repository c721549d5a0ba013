"""Three hundred guesses at a PIN at the same moment, on both databases."""

from collections import Counter
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier, get_ident
from typing import Any

import pytest
from django.db import connection
from django.utils import timezone

from prep.actions.accounts import attempts, passwords, pins
from prep.actions.accounts.attempts import OF_PERSON, Budget, Taken
from prep.actions.accounts.origin import Origin
from prep.models import Attempt
from prep.record.refusal import Refusal
from tests.cast import PIN, Yard, make_yard

pytestmark = pytest.mark.django_db(transaction=True)

THREADS = 20
GUESSES = 300
AWAY = Origin("192.0.2.7")  # reserved for documentation (RFC 5737)


@pytest.fixture
def committed_yard(transactional_db: None) -> Yard:
    """The cast, committed, so that other connections see it."""
    return make_yard()


def all_at_once(guess: Callable[[int], str]) -> Counter[str]:
    """How often each outcome came of the guesses, begun together."""
    begin = Barrier(THREADS)

    def some(first: int) -> list[str]:
        try:
            begin.wait(30)
            return [guess(number) for number in range(first, GUESSES, THREADS)]
        finally:
            connection.close()

    with ThreadPoolExecutor(THREADS) as threads:
        return Counter(one for some_of in threads.map(some, range(THREADS)) for one in some_of)


def outcome(action: Callable[..., Any], **given: Any) -> str:
    """The code it is refused with; `right` where it is not."""
    try:
        action(**given)
    except Refusal as no:
        return no.code
    return "right"


def test_of_three_hundred_pins_at_once_exactly_the_free_ones_are_judged(
    committed_yard: Yard,
) -> None:
    """The right one among the refused ones is not found."""
    ada = committed_yard.ada

    def guess(number: int) -> str:
        return outcome(pins.confirm, actor=ada, pin=f"{5000 + number}", origin=AWAY)

    found = all_at_once(guess)
    assert found == {"pin-wrong": OF_PERSON, "too-many-attempts": GUESSES - OF_PERSON}
    assert outcome(pins.confirm, actor=ada, pin=PIN, origin=AWAY) == "too-many-attempts"


def test_the_same_of_passwords_at_sign_in_for_somebody_and_for_nobody(
    committed_yard: Yard,
) -> None:
    """A name that nobody has is judged as often."""
    for name in (committed_yard.ada.username, "nobody-at-all"):
        Attempt.objects.all().delete()

        def guess(number: int, name: str = name) -> str:
            wrong = f"an invented guess {number}"
            return outcome(passwords.signed_in, username=name, password=wrong, origin=AWAY)

        found = all_at_once(guess)
        assert found == {"sign-in-wrong": OF_PERSON, "too-many-attempts": GUESSES - OF_PERSON}


def test_right_answers_at_once_all_stand_and_leave_nothing_used(committed_yard: Yard) -> None:
    """As many at a time as are free: the owner on two tablets is not kept waiting."""
    ada = committed_yard.ada
    begin = Barrier(OF_PERSON)

    def sign(_: int) -> str:
        try:
            begin.wait(30)
            return outcome(pins.confirm, actor=ada, pin=PIN, origin=AWAY)
        finally:
            connection.close()

    with ThreadPoolExecutor(OF_PERSON) as threads:
        assert list(threads.map(sign, range(OF_PERSON))) == ["right"] * OF_PERSON
    assert {(one.used, one.until) for one in Attempt.objects.all()} == {(0, None)}


@pytest.fixture
def _read_then_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    """Attempts as they were: the count is read, the secret is judged, then it is counted.

    Everybody reads before anybody counts, as three hundred requests at once do.
    """
    read = Barrier(THREADS)
    first: set[int] = set()

    def take(budgets: list[Budget], *, field: str) -> Taken:
        key = budgets[0].key
        used = Attempt.objects.filter(pk=key).values_list("used", flat=True).first() or 0
        if get_ident() not in first:
            first.add(get_ident())
            read.wait(30)
        if used >= OF_PERSON:
            raise Refusal("too-many-attempts", field=field, seconds=30)
        Attempt.objects.update_or_create(
            pk=key, defaults={"used": used + 1, "began": timezone.now()}
        )
        return Taken([])

    monkeypatch.setattr(attempts, "take", take)


@pytest.mark.usefixtures("_read_then_counted")
def test_read_and_then_counted_more_would_be_judged(committed_yard: Yard) -> None:
    """Negative control: without the conditional update each thread gets a guess at least."""
    ada = committed_yard.ada

    def guess(number: int) -> str:
        return outcome(pins.confirm, actor=ada, pin=f"{5000 + number}", origin=AWAY)

    assert all_at_once(guess)["pin-wrong"] >= THREADS
