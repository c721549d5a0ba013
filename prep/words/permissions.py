"""Roles and named reads in words."""

from typing import Final

from django.utils.translation import gettext_noop

from prep.record.roles import Role
from prep.words.reader import Reader, say

ROLES: Final = {
    Role.TECHNICIAN: gettext_noop("Technician"),
    Role.SERVICE_MANAGER: gettext_noop("Service manager"),
    Role.SALES: gettext_noop("Sales"),
    Role.AUDITOR: gettext_noop("Auditor"),
    Role.ADMINISTRATOR: gettext_noop("Administrator"),
}

# With its article, as in “only a service manager”.
HOLDERS: Final = {
    Role.TECHNICIAN: gettext_noop("a technician"),
    Role.SERVICE_MANAGER: gettext_noop("a service manager"),
    Role.SALES: gettext_noop("a salesperson"),
    Role.AUDITOR: gettext_noop("an auditor"),
    Role.ADMINISTRATOR: gettext_noop("an administrator"),
}

READS: Final = {
    "unit.view": gettext_noop("See the yard's units"),
    "instrument.view": gettext_noop("See the yard's tools"),
    "model.view": gettext_noop("See models, tractors and manufacturers"),
    "procedure.view": gettext_noop("See procedures"),
    "member.view": gettext_noop("See who works at the yard, and their training cards"),
    "person.view": gettext_noop("See accounts: state, last sign-in, e-mail, history"),
    "buyer.view": gettext_noop("See buyers and their addresses"),
    "people-photo.view": gettext_noop("See photos that show people"),
    "guest.view": gettext_noop("See the yard's guests"),
    "personal-read.view": gettext_noop("See who looked at personal data"),
    "desk.view": gettext_noop("See registrations and failed documents in the yard list"),
    "seal.view": gettext_noop("Be told when something the service needs is away"),
    "audit.view": gettext_noop("Have audit bundles made"),
    "document.check": gettext_noop("Check procedures and models before they are published"),
    "proof.view": gettext_noop("Get proofs of single events"),
    "device.view": gettext_noop("See the yard's devices"),
    "keeper.view": gettext_noop("See who outside keeps the checkpoints"),
}


def role_text(role: Role, reader: Reader) -> str:
    """What a role is called."""
    return say(reader, ROLES[role])


def holder_text(role: Role, reader: Reader) -> str:
    """Whoever holds a role, as in “only a service manager may do this”."""
    return say(reader, HOLDERS[role])


def read_text(name: str, reader: Reader) -> str:
    """What a named read is, as something a person does."""
    return say(reader, READS[name])
