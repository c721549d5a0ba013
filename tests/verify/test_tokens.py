"""Tokens are held against the log, and a row that nobody issued lets nobody in."""

from datetime import timedelta
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.utils import timezone

from prep.actions.accounts.token_text import digest, hint, new_text
from prep.actions.accounts.tokens import Dead, bearer, sign_in
from prep.models import Person, Token
from prep.record.token.scopes import Scope
from prep.verify.run import verify
from tests.actions.kept import kept, texts
from tests.cast import Yard
from tests.programs import issued, issued_to_program, program

__all__ = ["kept"]


def test_what_the_service_issued_itself_is_no_finding(kept: tuple[Yard, UUID]) -> None:
    """For a person, for a program, a sign-in; used since."""
    yard, _ = kept
    for token in (
        issued(yard.ada, [Scope.READ]),
        issued_to_program(yard, [Scope.WORK]),
        sign_in(yard.ada).text,
    ):
        assert isinstance(bearer(token), Person)
    assert texts(verify()) == []


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("scopes", ["manage", "read"]),
        ("site_id", None),
        ("expires", timezone.now() + timedelta(days=3650)),
        ("digest", "0" * 64),
        ("fingerprint", "forged"),
        ("name", "Something harmless"),
        ("revoked", timezone.now()),
        ("signed_in", True),
    ],
)
def test_what_was_changed_past_the_service_is_named(
    kept: tuple[Yard, UUID], column: str, value: Any
) -> None:
    """And a token that was widened lets nobody in any more."""
    yard, _ = kept
    token = issued(yard.ada, [Scope.READ], site=yard.site)
    Token.objects.filter(digest=digest(token)).update(**{column: value})
    found = texts(verify())
    assert found
    assert all("token" in text or "sign-in" in text for text in found)
    assert isinstance(bearer(token), Person) == (column == "name")


def test_a_token_moved_to_another_person_is_named_and_lets_nobody_in(
    kept: tuple[Yard, UUID],
) -> None:
    """A technician's own token, made the manager's."""
    yard, _ = kept
    token = issued(yard.ben, [Scope.READ, Scope.MANAGE])
    Token.objects.filter(digest=digest(token)).update(person=yard.mira)
    assert len(texts(verify())) == 1
    assert bearer(token) is Dead.UNKNOWN


@pytest.mark.parametrize("signed_in", [True, False])
def test_a_row_that_nobody_issued_is_named_and_lets_nobody_in(
    kept: tuple[Yard, UUID], signed_in: bool
) -> None:
    """Whoever can write to the database still lacks the key."""
    yard, _ = kept
    token, now = new_text(), timezone.now()
    Token.objects.create(
        id=uuid4(),
        person=yard.mira,
        signed_in=signed_in,
        hint=hint(token),
        scopes=list(Scope),
        digest=digest(token),
        fingerprint="0" * 8 + ":" + "0" * 64,
        issued=now,
        expires=now + timedelta(days=1),
    )
    assert bearer(token) is Dead.UNKNOWN
    assert len(texts(verify())) == (0 if signed_in else 1)


def test_a_fingerprint_of_another_row_does_not_help(kept: tuple[Yard, UUID]) -> None:
    """The one of a sign-in of one's own, put beside another person."""
    yard, _ = kept
    token = sign_in(yard.ada).text
    Token.objects.filter(digest=digest(token)).update(person=yard.mira)
    [text] = texts(verify())
    assert text.startswith("A sign-in of Mira Invented to the API was put into the database")
    assert bearer(token) is Dead.UNKNOWN


def test_a_revoked_token_put_back_and_one_taken_away_are_named(kept: tuple[Yard, UUID]) -> None:
    """Both would pass for nothing having happened."""
    yard, _ = kept
    token = issued(yard.ada, [Scope.READ])
    Token.objects.filter(digest=digest(token)).delete()
    [text] = texts(verify())
    assert text.startswith("Missing: token")


def test_a_programs_account_made_a_persons_is_named(kept: tuple[Yard, UUID]) -> None:
    """It could sign then, if somebody also gave it a PIN."""
    yard, _ = kept
    Person.objects.filter(pk=program(yard).pk).update(system_at=None)
    [text] = texts(verify())
    assert "was made a program's account, or is one no more" in text
