"""Tokens of programs, and the accounts of programs."""

from uuid import UUID

from django.db.models import Q, QuerySet

from prep.models import Person, Token
from prep.queries.people import memberships
from prep.record.refusal import Refusal
from prep.record.roles import Role
from prep.record.token.scopes import Access


def asked_by(person: Person) -> Q:
    """What a person asked for; of the program of one yard, only what it asked for itself."""
    access = person.access
    return Q(person=person, token=access.program) if access.site else Q(person=person)


def program_token(key: UUID) -> Token | None:
    """A token of a program; None where there is none. A sign-in is none."""
    return Token.objects.filter(pk=key, signed_in=False).first()


def access_by(token: str) -> Access:
    """What a program was let in for, whose request is carried out later; no scope once it is gone.

    Whether the token is still good is asked with each command.
    """
    row = Token.objects.select_related("person").filter(pk=token).first()
    return row.access() if row else Access(frozenset(), token=token, signed_in=False)


def administered(person: Person) -> QuerySet[Token]:
    """Tokens that can be used at a yard that a person administers."""
    yards = memberships(person).filter(role=Role.ADMINISTRATOR).values("site")
    at_any = Q(site=None, person__memberships__site__in=yards)
    return Token.objects.filter(Q(site__in=yards) | at_any)


def tokens_seen_by(person: Person) -> list[Token]:
    """A person's own tokens, and those of programs at the yards they administer, newest first."""
    seen = Q(person=person) | Q(pk__in=administered(person).filter(signed_in=False).values("pk"))
    return list(Token.objects.filter(seen).select_related("person", "site").order_by("-issued"))


def system_named(username: str) -> Person:
    """A system account by its user name; Refusal where there is none."""
    found = Person.objects.filter(username=username, system_at__isnull=False).first()
    if found is None:
        raise Refusal("no-such-system", field="system")
    return found


def systems_at(site: str) -> list[Person]:
    """Accounts of the programs of a site, by name."""
    return list(Person.objects.filter(system_at=site).order_by("printed_name"))
