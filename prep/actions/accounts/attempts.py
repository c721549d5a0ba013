"""Attempts at secrets: taken before the secret is judged, so that no guess is free.

An attempt is one conditional update in a short transaction of its own, committed before anybody
looks at the secret: of three hundred parallel guesses exactly as many are judged as there are
attempts left, and a refused signature, or a crash, still costs one. A right answer gives back what
it took, and no more: whoever guesses between the owner's own right answers gains nothing by them.

After a few free attempts the next one waits, longer each time, at most a quarter of an hour; the
refusal says how long. After a shift a key is forgotten. So nobody is locked out for good, and an
attacker gets so many judged guesses a day, whatever he does (`tests/actions/accounts` plays it):

    against one person, from anywhere they are not known       120
    against one person, at each device or address they use     120
    against all strangers together, from one address           165
    with all PINs of one device, switching users               165

There are 9,770 PINs of four digits to choose from. Whoever stands at the tablet finds one of them
with a chance of half in forty days of nothing else; whoever cares takes five digits. A password
that passes the rules is not found so.

**Whose attempts.** Where somebody gave their password before, on a device of the yard or from an
address, within the last 30 days, they have attempts of their own there. Nobody else's mistakes use
those up, so an attacker elsewhere cannot keep the owner out; an attacker beside them costs them a
wait. Anywhere else the attempts of the person count, from wherever they are made, and those of the
address, and of the device, whoever they are for: so trying one password on many names ends too.

**Names.** A name is a key whether there is such a person or not, and is used up alike. Keys are
keyed digests: what somebody typed for a name by mistake is not kept.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from typing import Final

from django.db import transaction
from django.db.models import Case, DateTimeField, F, Q, Value, When
from django.utils import timezone
from django.utils.crypto import salted_hmac

from prep.models import Attempt
from prep.record.refusal import Refusal

OF_PERSON: Final = 5  # free attempts, of one person
OF_PLACE: Final = 20  # free attempts of everybody together, at one address or device
FIRST_WAIT: Final = timedelta(seconds=30)
LONGEST_WAIT: Final = timedelta(minutes=15)
SHIFT: Final = timedelta(hours=8)  # after which a key is forgotten
GROWING: Final = 5  # waits that are each twice the one before
MOMENT: Final = DateTimeField(null=True)
NONE: Final = Value(None, MOMENT)


class Purpose(StrEnum):
    """What the secret is asked for. Each has attempts of its own."""

    SIGN_IN = "sign-in"
    PIN = "pin"
    CHANGE = "change"
    JOIN = "join"


@dataclass(frozen=True)
class Budget:
    """Attempts that are counted together, and how many of them are free."""

    key: str
    free: int


@dataclass(frozen=True)
class Taken:
    """An attempt that was taken, to be given back if the answer is right."""

    parts: Sequence[Attempt]

    def give_back(self) -> None:
        """Give the attempt back; a wait that it began ends."""
        with transaction.atomic():
            for one in self.parts:
                row = Attempt.objects.filter(pk=one.pk, began=one.began, used__gt=0)
                ended = Case(When(until=one.until, then=NONE), default=F("until"))
                row.update(used=F("used") - 1, until=ended)


def budget(purpose: Purpose, kind: str, name: str, free: int) -> Budget:
    """The attempts of a purpose by person, device or address."""
    digest = salted_hmac(
        "yardproof-attempts", f"{purpose}/{kind}/{name}", algorithm="sha256"
    ).hexdigest()
    return Budget(digest, free)


def take(budgets: Iterable[Budget], *, field: str) -> Taken:
    """Take an attempt of each budget, or of none and refuse, saying how long to wait.

    What is taken is committed when this returns: call it outside any transaction.
    """
    wanted = sorted(budgets, key=lambda one: one.key)  # one order for all, so that none deadlock
    _refuse_waiting(wanted, timezone.now(), field)  # without a write: a flood costs no lock
    with transaction.atomic(durable=True):
        return Taken([_taken(one, field) for one in wanted])


def clear_forgotten() -> None:
    """Delete the keys of a shift ago."""
    now = timezone.now()
    over = Q(until=None) | Q(until__lte=now)
    Attempt.objects.filter(over, began__lte=now - SHIFT).delete()


def wait_after(used: int, free: int) -> timedelta:
    """How long the next attempt waits after so many."""
    if used < free:
        return timedelta()
    return min(FIRST_WAIT * float(2 ** min(used - free, GROWING)), LONGEST_WAIT)


def _taken(one: Budget, field: str) -> Attempt:
    now = timezone.now()
    if not _use(one, now):
        first = Attempt(key=one.key, used=0, began=now)
        Attempt.objects.bulk_create([first], ignore_conflicts=True)
        if not _use(one, now):
            until = Attempt.objects.filter(pk=one.key).values_list("until", flat=True).first()
            raise _waiting(until or now, now, field)
    return Attempt.objects.get(pk=one.key)


def _use(one: Budget, now: datetime) -> bool:
    """Whether an attempt was left. The database decides, and counts in the same statement."""
    forgotten = Q(began__lte=now - SHIFT)
    last = one.free + GROWING
    waits = [
        When(
            ~forgotten & (Q(used=used - 1) if used < last else Q(used__gte=used - 1)),
            then=Value(now + wait_after(used, one.free), MOMENT),
        )
        for used in range(one.free, last + 1)
    ]
    ready = Attempt.objects.filter(Q(until=None) | Q(until__lte=now), pk=one.key)
    counted = ready.update(
        used=Case(When(forgotten, then=Value(1)), default=F("used") + 1),
        began=Case(When(forgotten, then=Value(now, MOMENT)), default=F("began")),
        until=Case(*waits, default=NONE),
    )
    return counted == 1


def _refuse_waiting(budgets: Iterable[Budget], now: datetime, field: str) -> None:
    """Refuse where one of the budgets has to wait, with the longest of the waits."""
    keys = [one.key for one in budgets]
    waits = Attempt.objects.filter(pk__in=keys, until__gt=now).values_list("until", flat=True)
    if until := max(filter(None, waits), default=None):
        raise _waiting(until, now, field)


def _waiting(until: datetime, now: datetime, field: str) -> Refusal:
    seconds = max(math.ceil((until - now).total_seconds()), 1)
    return Refusal("too-many-attempts", field=field, seconds=seconds)
