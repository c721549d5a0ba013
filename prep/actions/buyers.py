"""Buyers: who a unit is meant for, and erasing them again."""

import secrets
from uuid import UUID, uuid5

from django.db import transaction
from django.utils import timezone

from prep.actions.writing import Command, Outcome, change_unit
from prep.models import Buyer, Person
from prep.queries.people import actor_at
from prep.queries.shop import tractor_facts
from prep.record import assigning
from prep.record.facts import BuyerRef
from prep.record.refusal import Refusal
from prep.record.roles import DESK, Role

BUYER_NAMES = UUID("0a6b8d8e-3a4e-4f43-8a43-6d3f5c1e77aa")


@transaction.atomic
def add(
    *,
    actor: Person,
    command: Command,
    site: str,
    name: str,
    address: str = "",
    phone: str = "",
    email: str = "",
) -> Buyer:
    """A buyer becomes known at a site; sent twice, it is one buyer."""
    if not actor_at(actor, site).roles & (DESK | {Role.ADMINISTRATOR}):
        raise Refusal("not-allowed", "Only sales, a service manager or an administrator may.")
    if not name.strip():
        raise Refusal("name-missing", "Give the buyer's name.", field="name")
    particulars = {"site_id": site, "name": name, "address": address, "phone": phone}
    buyer, made = Buyer.objects.get_or_create(
        id=uuid5(BUYER_NAMES, str(command.id)),
        defaults={**particulars, "email": email, "salt": secrets.token_hex(16)},
    )
    if not made and any(getattr(buyer, key) != value for key, value in particulars.items()):
        raise Refusal("command-reused", "This command id was already used for another buyer.")
    return buyer


def assign(*, actor: Person, command: Command, unit: UUID, buyer: UUID, tractor: str) -> Outcome:
    """Mean a unit for a buyer and their tractor; what depends on the tractor re-opens."""
    found = Buyer.objects.filter(pk=buyer, erased=None).first()
    if found is None:
        raise Refusal(
            "no-such-buyer", "There is no such buyer. Add the buyer first.", field="buyer"
        )
    reference = BuyerRef(str(found.pk), found.digest())
    facts = tractor_facts(tractor)
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["buyer.assign", str(buyer), tractor],
        decide=lambda record, context: assigning.assign_buyer(
            record, context, buyer=reference, tractor=facts
        ),
    )


def withdraw(*, actor: Person, command: Command, unit: UUID, reason: str) -> Outcome:
    """The unit is stock again."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["buyer.withdraw", reason],
        decide=lambda record, context: assigning.withdraw_buyer(record, context, reason=reason),
    )


@transaction.atomic
def erase(*, actor: Person, buyer: UUID) -> None:
    """Erase a buyer's personal data. The log keeps a reference nobody can resolve any more."""
    found = Buyer.objects.select_for_update().filter(pk=buyer).first()
    if found is None:
        raise Refusal("no-such-buyer", "There is no such buyer.", field="buyer")
    if Role.ADMINISTRATOR not in actor_at(actor, found.site_id).roles:
        raise Refusal("not-allowed", "Only an administrator may erase personal data.")
    found.name, found.address, found.phone, found.email = "(erased)", "", "", ""
    found.salt = ""
    found.erased = timezone.now()
    found.save()
