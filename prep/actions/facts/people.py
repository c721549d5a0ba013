"""Loading what decisions about people need: hashed secrets, invitations, who else administers."""

import secrets
from datetime import date
from typing import Final
from uuid import uuid5

from django.utils import timezone

from prep.actions.accounts import passwords, pins
from prep.actions.accounts.fingerprints import fingerprint
from prep.actions.accounts.invitations import new_invitation
from prep.actions.facts.fact import Asked, Fact
from prep.actions.locks import lock
from prep.actions.log import Place
from prep.models import Card, Event, Invitation, Membership, Person, Site
from prep.queries.people import left_alone, person_named, roles_of
from prep.record.needs import Member
from prep.record.person.commands.invitations import InvitePerson, ResetPerson
from prep.record.person.commands.names import RenamePerson
from prep.record.person.commands.systems import AddSystem
from prep.record.person.events import PersonInvited, SystemEnrolled
from prep.record.person.needs import CardNumber, Fingerprints
from prep.record.person.state import Opens, Status
from prep.record.refusal import Refusal
from prep.record.roles import Actor, Role
from prep.record.site.commands import GiveRole
from prep.record.site.events import MemberRemoved

SYSTEM: Final = " (system)"  # ends a program's name, so that every surface tells it from a person


def free_name(asked: Asked) -> Fact:
    """The printed name, which says of a program that it is one; nobody else has the user name."""
    command: RenamePerson = asked.command
    person = Person.objects.get(pk=int(asked.target))
    _check_free(command.username, besides=person.pk)
    name = command.name.strip()
    return Fact(name.removesuffix(SYSTEM) + SYSTEM if person.system_at_id else name)


def _check_free(username: str, besides: int = 0) -> None:
    """Refuse a user name that somebody has, however it is spelled."""
    if Person.objects.filter(username__iexact=username).exclude(pk=besides).exists():
        raise Refusal("name-taken", field="username", username=username)


def new_secrets(asked: Asked) -> Fact:
    """The password and the PIN of a command, hashed for the person's row."""
    person = Person.objects.get(pk=int(asked.target))
    hashes = {}
    if hasattr(asked.command, "password"):
        hashes["password"] = passwords.hashed(asked.command.password, person)
    if hasattr(asked.command, "new_pin"):
        hashes["pin"] = pins.hashed(asked.command.new_pin, person.username)
    made = {name: fingerprint(asked.target, name, value) for name, value in hashes.items()}

    def keep() -> None:
        Person.objects.filter(pk=person.pk).update(**hashes)

    return Fact(Fingerprints(**made), keep=keep)


def contact(asked: Asked) -> Fact:
    """The digest of e-mail and phone, which are kept beside the log."""
    row = Person(email=asked.command.email, phone=asked.command.phone, contact_salt=_salt())
    person = Person.objects.filter(pk=int(asked.target))
    present = person.get()
    if (present.email, present.phone) == (row.email, row.phone):
        raise Refusal("nothing-changed")

    def keep() -> None:
        person.update(email=row.email, phone=row.phone, contact_salt=row.contact_salt)

    return Fact(row.contact(), keep=keep)


def card_number(asked: Asked) -> Fact:
    """A new card's id, which follows from the command, and the digest of its number."""
    command = asked.command
    row = Card(
        id=uuid5(asked.submission.id, "card"),
        person_id=int(asked.target),
        kind=command.kind,
        manufacturer=command.manufacturer.strip(),
        number=command.number,
        salt=_salt(),
    )

    def keep() -> None:
        row.valid_until = date.fromisoformat(command.valid_until)
        row.save(force_insert=True)

    return Fact(CardNumber(str(row.pk), row.digest()), keep=keep)


def invitation(asked: Asked) -> Fact:
    """Another invitation for somebody, in the place of one that stands."""
    person = Person.objects.get(pk=int(asked.target))
    purpose = "reset" if isinstance(asked.command, ResetPerson) else "join"
    row, known = new_invitation(
        person.pk, asked.submission.id, purpose, timezone.now(), mail=bool(person.email)
    )

    def keep() -> None:
        standing = Invitation.objects.filter(person=person, state=Opens.OPEN.value)
        standing.update(state=Opens.REPLACED.value, mail_after=None, mail_failing=None)
        row.save(force_insert=True)

    return Fact(known, keep=keep)


def new_person(asked: Asked) -> Fact:
    """The account of somebody who is invited, shut until the invitation is used.

    It is stored at once, because its id stands in the events; it goes again with the transaction.
    """
    command: InvitePerson = asked.command
    _check_free(command.username)
    person = Person(
        username=command.username,
        printed_name=command.name.strip(),
        status=Status.INVITED.value,
        is_active=False,
        language=command.language,
        units=command.units,
        decimal_comma={"comma": True, "point": False}.get(command.numbers),
        email=command.email,
        phone=command.phone,
        contact_salt=_salt(),
    )
    person.save(force_insert=True)
    row, known = new_invitation(
        person.pk, asked.submission.id, "join", timezone.now(), mail=bool(command.email)
    )
    key = str(person.pk)
    invited = PersonInvited(
        username=person.username,
        name=person.printed_name,
        language=command.language,
        units=command.units,
        numbers=command.numbers,
        contact=person.contact(),
        invitation=known,
    )
    return Fact(
        Actor(key, str(person), frozenset()),
        events=[(Place("person", key, 0, asked.site), [invited])],
        keep=lambda: row.save(force_insert=True),
    )


def new_system(asked: Asked) -> Fact:
    """The account of a program of the yard, stored at once as that of a person is."""
    command: AddSystem = asked.command
    _check_free(command.username)
    name = command.name.strip() + SYSTEM
    person = Person(username=command.username, printed_name=name, system_at_id=asked.site)
    person.save(force_insert=True)
    key = str(person.pk)
    enrolled = SystemEnrolled(person.username, person.printed_name, asked.site)
    return Fact(
        Actor(key, str(person), frozenset()),
        events=[(Place("person", key, 0, asked.site), [enrolled])],
    )


def member(asked: Asked) -> Fact:
    """A person by user name, with their roles at the yard, and whether it needs them.

    A program's account is of one yard, and no administrator: nobody would answer for it.
    """
    person = person_named(asked.command.person)
    if person.system_at_id and isinstance(asked.command, GiveRole):
        if person.system_at_id != asked.target:
            raise Refusal("system-of-another-yard", field="person")
        if asked.command.role is Role.ADMINISTRATOR:
            raise Refusal("system-not-administrator", field="role")
    roles = roles_of(person, asked.target)
    yard = Site.objects.values_list("name", flat=True).get(pk=asked.target)
    alone = Role.ADMINISTRATOR in roles and yard in left_alone(person.pk, [asked.target])
    return Fact(Member(str(person.pk), str(person), roles, yard, alone))


def yards_left_alone(asked: Asked) -> Fact:
    """The yards that would have no active administrator without the person."""
    return Fact(left_alone(int(asked.target)))


def roles_end(asked: Asked) -> Fact:
    """The person's roles at every yard, each taken by an event of the yard."""
    person = Person.objects.get(pk=int(asked.target))
    held = Membership.objects.filter(person=person).order_by("site_id", "role")
    roles: dict[str, list[str]] = {}
    for site, role in held.values_list("site_id", "role"):
        roles.setdefault(site, []).append(role)
    batches = []
    for site in sorted(roles):
        lock(Site, site)
        version = Event.objects.filter(stream="site", stream_id=site).count()
        taken = [MemberRemoved(asked.target, str(person), role) for role in roles[site]]
        batches.append((Place("site", site, version, site), taken))

    def keep() -> None:
        Membership.objects.filter(person=person).delete()

    return Fact(tuple(sorted(roles)), events=batches, keep=keep)


def _salt() -> str:
    return secrets.token_hex(16)
