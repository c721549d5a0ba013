"""Actions on buyers: add, assign to a unit, correct, withdraw, erase.

Each locks the buyer first and then units in the order of their ids, so that an assignment and a
correction at the same time cannot leave a unit with the digest of outdated details.
"""

import secrets
from collections.abc import Mapping
from typing import Final
from uuid import UUID, uuid5

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from prep.actions.write_path import Command, Outcome, change_unit, request_digest
from prep.models import Buyer, FormerParticulars, Person, Unit
from prep.models.buyers import salted_digest
from prep.queries.models import tractor_facts
from prep.queries.people import actor_at
from prep.record.facts import BuyerRef
from prep.record.refusal import Refusal
from prep.record.roles import DESK, OFFICE, Role
from prep.record.unit.commands import buyers

BUYER_NAMES = UUID("0a6b8d8e-3a4e-4f43-8a43-6d3f5c1e77aa")
PARTICULARS: Final = ("name", "address", "phone", "email")


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
    """Add a buyer at a site. The id follows from the command, so a resend adds no second buyer."""
    _check_role(actor, site)
    particulars = {"name": name, "address": address, "phone": phone, "email": email}
    request_digest(["buyer.add", site, particulars])  # refuses NUL characters
    _check_particulars(particulars)
    buyer, made = Buyer.objects.get_or_create(
        id=uuid5(BUYER_NAMES, str(command.id)),
        defaults={"site_id": site, **particulars, "salt": secrets.token_hex(16)},
    )
    first = buyer if made else buyer.former.order_by("id").first() or buyer
    if buyer.site_id != site or _particulars_of(first) != particulars:
        raise _reused()
    return buyer


@transaction.atomic
def assign(*, actor: Person, command: Command, unit: UUID, buyer: UUID, tractor: str) -> Outcome:
    """Assign a unit to a buyer and tractor; steps that depend on the tractor re-open."""
    known = Buyer.objects.select_for_update().filter(pk=buyer, erased=None).first()
    if known is None:
        raise Refusal(
            "no-such-buyer", "There is no such buyer. Add the buyer first.", field="buyer"
        )
    reference = BuyerRef(str(known.pk), known.digest())
    facts = tractor_facts(tractor)
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["buyer.assign", str(buyer), tractor],
        decide=lambda record, context: buyers.assign_buyer(
            record, context, buyer=reference, tractor=facts
        ),
    )


@transaction.atomic
def amend(
    *,
    actor: Person,
    command: Command,
    buyer: UUID,
    name: str | None = None,
    address: str | None = None,
    phone: str | None = None,
    email: str | None = None,
    seen: str = "",
) -> Buyer:
    """Correct a buyer's details, on all units assigned or handed over to them; None keeps a value.

    With `seen`, the digest of the details the person looked at, the command is refused where
    somebody corrected them since. A repeated command changes nothing.
    """
    details = {"name": name, "address": address, "phone": phone, "email": email}
    given = {key: value for key, value in details.items() if value is not None}
    request = request_digest(["buyer.amend", str(buyer), given])
    known = Buyer.objects.select_for_update().filter(pk=buyer).first()
    if known is None or not actor_at(actor, known.site_id).roles:
        raise Refusal(
            "no-such-buyer", "There is no such buyer. Look the buyer up again.", field="buyer"
        )
    _check_role(actor, known.site_id)
    if known.erased:
        raise Refusal(
            "buyer-erased", "This buyer's data was erased. Add the buyer anew if they want it kept."
        )
    if _already_amended(known, command, request):
        return known
    _check_seen(known, seen)
    _check_particulars(given)
    _replace(known, given, command, request)
    _amend_units(known, actor, command)
    return known


def withdraw(*, actor: Person, command: Command, unit: UUID, reason: str) -> Outcome:
    """Cancel the sale of a unit; it returns to stock."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["buyer.withdraw", reason],
        decide=lambda record, context: buyers.withdraw_buyer(record, context, reason=reason),
    )


@transaction.atomic
def erase(*, actor: Person, buyer: UUID) -> None:
    """Erase a buyer's personal data. The log keeps a reference that resolves to nothing."""
    known = Buyer.objects.select_for_update().filter(pk=buyer).first()
    if known is None:
        raise Refusal(
            "no-such-buyer", "There is no such buyer. Look the buyer up again.", field="buyer"
        )
    if Role.ADMINISTRATOR not in actor_at(actor, known.site_id).roles:
        raise Refusal("not-allowed", "Only an administrator may erase personal data.")
    known.former.all().delete()
    known.name, known.address, known.phone, known.email = "(erased)", "", "", ""
    known.salt = ""
    known.erased = timezone.now()
    known.save()


def _already_amended(buyer: Buyer, command: Command, request: str) -> bool:
    """Whether this command already corrected the buyer; Refusal where its id had another use."""
    earlier = FormerParticulars.objects.filter(command=command.id).first()
    if earlier is None:
        return False
    if earlier.buyer_id != buyer.pk or earlier.asked != salted_digest(earlier.salt, [request]):
        raise _reused()
    return True


def _replace(buyer: Buyer, given: Mapping[str, str], command: Command, request: str) -> None:
    """Store the former details and write the new ones, under a new salt.

    A new salt, so that the new digest reveals nothing about the former details.
    """
    was = _particulars_of(buyer)
    if {**was, **given} == was:
        raise Refusal("nothing-changed", "These are the buyer's particulars already.")
    FormerParticulars.objects.create(
        buyer=buyer,
        command=command.id,
        asked=salted_digest(buyer.salt, [request]),
        salt=buyer.salt,
        **was,
    )
    for key, value in given.items():
        setattr(buyer, key, value)
    buyer.salt = secrets.token_hex(16)
    buyer.save()


def _amend_units(buyer: Buyer, actor: Person, command: Command) -> None:
    """Record the corrected buyer on each of their units, locked in the order of their ids."""
    theirs = Unit.objects.select_for_update().filter(buyer=str(buyer.pk)).order_by("pk")
    units = list(theirs.values_list("pk", "site_id"))
    for site in sorted({site for _, site in units} - {buyer.site_id}):
        _check_role(actor, site)
    reference = BuyerRef(str(buyer.pk), buyer.digest())
    for unit, _ in units:
        change_unit(
            actor=actor,
            unit=unit,
            command=Command(uuid5(command.id, str(unit)), command.happened, command.device),
            request=["buyer.amend", reference],
            decide=lambda record, context: buyers.amend_buyer(record, context, buyer=reference),
        )


def _particulars_of(particulars: Buyer | FormerParticulars) -> dict[str, str]:
    return {key: getattr(particulars, key) for key in PARTICULARS}


def _check_role(actor: Person, site: str) -> None:
    if not actor_at(actor, site).roles & (DESK | OFFICE):
        raise Refusal(
            "not-allowed", f"Only sales, a service manager or an administrator of yard {site} may."
        )


def _check_seen(buyer: Buyer, seen: str) -> None:
    if seen and seen != buyer.digest():
        now = ", ".join(filter(None, _particulars_of(buyer).values()))
        raise Refusal(
            "content-changed",
            f"Somebody corrected this buyer since you looked. It now says: {now}. "
            "Put both together, then send it again.",
        )


def _check_particulars(particulars: Mapping[str, str]) -> None:
    if not particulars.get("name", "a name that stays").strip():
        raise Refusal("name-missing", "Give the buyer's name.", field="name")
    email = particulars.get("email", "")
    try:
        Buyer._meta.get_field("email").run_validators(email)
    except ValidationError:
        raise Refusal(
            "email-unfit", f"“{email}” is no e-mail address. Correct it.", field="email"
        ) from None


def _reused() -> Refusal:
    return Refusal("command-reused", "This command id was already used for another buyer.")
