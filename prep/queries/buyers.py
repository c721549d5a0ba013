"""Buyers and their particulars. One query each."""

from collections.abc import Iterable
from uuid import UUID

from prep.models import (
    Buyer,
    FormerParticulars,
)
from prep.record.facts import BuyerRef
from prep.record.refusal import Refusal


def buyers_at(sites: Iterable[str], *, name: str = "", limit: int = 50) -> list[Buyer]:
    """Buyers of the sites whose name holds `name`, by name; erased ones are left out."""
    found = Buyer.objects.filter(site_id__in=list(sites), erased=None)
    if name:
        found = found.filter(name__icontains=name)
    return list(found.order_by("name", "id")[:limit])


def buyer_at(buyer: UUID, sites: Iterable[str]) -> Buyer:
    """A buyer of the sites."""
    found = Buyer.objects.filter(pk=buyer, site_id__in=list(sites)).first()
    if found is None:
        raise Refusal("no-such-buyer", "There is no such buyer.")
    return found


def buyer_of(reference: BuyerRef) -> Buyer | None:
    """The buyer a reference in the log names, as known now; None once erased."""
    return Buyer.objects.filter(pk=reference.id, erased=None).first()


def particulars_of(reference: BuyerRef) -> Buyer | FormerParticulars | None:
    """What a reference in the log stands for, corrected since or not. Two queries.

    None once erased. Where nothing that is kept gives the digest, the present particulars: whoever
    holds them against the reference sees that they differ.
    """
    buyer = buyer_of(reference)
    if buyer is None or buyer.digest() == reference.digest:
        return buyer
    former = (kept for kept in buyer.former.order_by("id") if kept.digest() == reference.digest)
    return next(former, buyer)
