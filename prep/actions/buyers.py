"""Buyers: who a unit is meant for, correcting what is known of them, and erasing them again.

Whoever writes about a buyer locks the buyer first and then units, in the order of their ids: an
assignment and a correction at once cannot leave a unit with a digest nothing stands for.
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
    """A buyer becomes known at a site; sent twice, it is one buyer."""
    _refuse_others(actor, site)
    particulars = {"name": name, "address": address, "phone": phone, "email": email}
    request_digest(["buyer.add", site, particulars])  # refuses what no database keeps
    _refuse_unfit(particulars)
    buyer, made = Buyer.objects.get_or_create(
        id=uuid5(BUYER_NAMES, str(command.id)),
        defaults={"site_id": site, **particulars, "salt": secrets.token_hex(16)},
    )
    first = buyer if made else buyer.former.order_by("id").first() or buyer
    if buyer.site_id != site or _kept(first) != particulars:
        raise _reused()
    return buyer


@transaction.atomic
def assign(*, actor: Person, command: Command, unit: UUID, buyer: UUID, tractor: str) -> Outcome:
    """Mean a unit for a buyer and their tractor; what depends on the tractor re-opens."""
    found = Buyer.objects.select_for_update().filter(pk=buyer, erased=None).first()
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
    """Correct a buyer's particulars, on every unit meant for or sold to them; None stays as it is.

    `seen` is the digest of the particulars that were looked at: given, the command is refused where
    somebody corrected them since. Sent twice, it counts once.
    """
    wished = {"name": name, "address": address, "phone": phone, "email": email}
    given = {key: value for key, value in wished.items() if value is not None}
    asked = request_digest(["buyer.amend", str(buyer), given])
    found = Buyer.objects.select_for_update().filter(pk=buyer).first()
    if found is None or not actor_at(actor, found.site_id).roles:
        raise Refusal(
            "no-such-buyer", "There is no such buyer. Look the buyer up again.", field="buyer"
        )
    _refuse_others(actor, found.site_id)
    if found.erased:
        raise Refusal(
            "buyer-erased", "This buyer's data was erased. Add the buyer anew if they want it kept."
        )
    if _done_before(found, command, asked):
        return found
    _refuse_unseen(found, seen)
    _refuse_unfit(given)
    _replace(found, given, command, asked)
    _tell_units(found, actor, command)
    return found


def withdraw(*, actor: Person, command: Command, unit: UUID, reason: str) -> Outcome:
    """The unit is stock again."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["buyer.withdraw", reason],
        decide=lambda record, context: buyers.withdraw_buyer(record, context, reason=reason),
    )


@transaction.atomic
def erase(*, actor: Person, buyer: UUID) -> None:
    """Erase a buyer's personal data. The log keeps a reference nobody can resolve any more."""
    found = Buyer.objects.select_for_update().filter(pk=buyer).first()
    if found is None:
        raise Refusal(
            "no-such-buyer", "There is no such buyer. Look the buyer up again.", field="buyer"
        )
    if Role.ADMINISTRATOR not in actor_at(actor, found.site_id).roles:
        raise Refusal("not-allowed", "Only an administrator may erase personal data.")
    found.former.all().delete()
    found.name, found.address, found.phone, found.email = "(erased)", "", "", ""
    found.salt = ""
    found.erased = timezone.now()
    found.save()


def _done_before(found: Buyer, command: Command, asked: str) -> bool:
    """Whether this command corrected the buyer before; Refusal where it did something else."""
    earlier = FormerParticulars.objects.filter(command=command.id).first()
    if earlier is None:
        return False
    if earlier.buyer_id != found.pk or earlier.asked != salted_digest(earlier.salt, [asked]):
        raise _reused()
    return True


def _replace(found: Buyer, given: Mapping[str, str], command: Command, asked: str) -> None:
    """Keep what was; write what is under a salt of its own, which tells nothing of what was."""
    was = _kept(found)
    if {**was, **given} == was:
        raise Refusal("nothing-changed", "These are the buyer's particulars already.")
    FormerParticulars.objects.create(
        buyer=found,
        command=command.id,
        asked=salted_digest(found.salt, [asked]),
        salt=found.salt,
        **was,
    )
    for key, value in given.items():
        setattr(found, key, value)
    found.salt = secrets.token_hex(16)
    found.save()


def _tell_units(found: Buyer, actor: Person, command: Command) -> None:
    """Every unit of the buyer gets the new reference; locked in the order of their ids."""
    theirs = Unit.objects.select_for_update().filter(buyer=str(found.pk)).order_by("pk")
    units = list(theirs.values_list("pk", "site_id"))
    for site in sorted({site for _, site in units} - {found.site_id}):
        _refuse_others(actor, site)
    reference = BuyerRef(str(found.pk), found.digest())
    for unit, _ in units:
        change_unit(
            actor=actor,
            unit=unit,
            command=Command(uuid5(command.id, str(unit)), command.happened, command.device),
            request=["buyer.amend", reference],
            decide=lambda record, context: buyers.amend_buyer(record, context, buyer=reference),
        )


def _kept(particulars: Buyer | FormerParticulars) -> dict[str, str]:
    return {key: getattr(particulars, key) for key in PARTICULARS}


def _refuse_others(actor: Person, site: str) -> None:
    if not actor_at(actor, site).roles & (DESK | OFFICE):
        raise Refusal(
            "not-allowed", f"Only sales, a service manager or an administrator of yard {site} may."
        )


def _refuse_unseen(found: Buyer, seen: str) -> None:
    if seen and seen != found.digest():
        now = ", ".join(filter(None, _kept(found).values()))
        raise Refusal(
            "content-changed",
            f"Somebody corrected this buyer since you looked. It now says: {now}. "
            "Put both together, then send it again.",
        )


def _refuse_unfit(particulars: Mapping[str, str]) -> None:
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
