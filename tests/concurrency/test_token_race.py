"""A token revoked while its command is carried out, on PostgreSQL.

Whoever revokes it waits for the command that is under way, or the command for them. The negative
control without the shared lock shows what would happen: work recorded after the revocation.
"""

from typing import Any
from unittest.mock import patch
from uuid import UUID

import pytest

from prep.actions.accounts.tokens import bearer
from prep.actions.locks import share
from prep.models import Event, Person, Token
from prep.record.token.commands import RevokeToken
from prep.record.token.scopes import Scope
from prep.record.unit.commands.flags import RaiseFlag
from tests.cast import Yard
from tests.concurrency.test_fact_race import at_once, committed_yard, work
from tests.programs import issued

__all__ = ["committed_yard"]

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]


def revoked_while_at_work(yard: Yard) -> tuple[Person, UUID, UUID]:
    """Ada let in by a token, the token, and a unit."""
    person = bearer(issued(yard.ada, [Scope.WORK]))
    assert isinstance(person, Person)
    return person, Token.objects.get(pk=person.access.token).pk, yard.started()


def kinds() -> list[str]:
    """What came last, in the order of the log."""
    last = Event.objects.order_by("-pk")[:2]
    return [event.kind for event in reversed(last)]


def test_a_command_under_way_is_done_before_its_token_is_revoked(committed_yard: Yard) -> None:
    """They do not meet: one waits for the other, and nothing comes after the revocation."""
    yard = committed_yard
    person, token, unit = revoked_while_at_work(yard)
    results, met = at_once(
        work(RaiseFlag(text="Bent"), actor=person, target=unit),
        work(RevokeToken(), actor=yard.otto, target=token),
    )
    assert not met
    assert results in (["done", "done"], ["token-ended", "done"])
    if results[0] == "done":
        assert kinds() == ["flag.raised", "token.revoked"]


def test_without_the_lock_they_meet(committed_yard: Yard) -> None:
    """The negative control: both are about to append, so the flag may come after."""
    yard = committed_yard
    person, token, unit = revoked_while_at_work(yard)

    def unshared(table: Any, key: Any) -> Any:
        return table.objects.filter(pk=key).first() if table is Token else share(table, key)

    with patch("prep.actions.accounts.tokens.share", unshared):
        results, met = at_once(
            work(RaiseFlag(text="Bent"), actor=person, target=unit),
            work(RevokeToken(), actor=yard.otto, target=token),
            unlocked=True,
        )
    assert met
    assert results == ["done", "done"]
