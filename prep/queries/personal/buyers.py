"""Buyers and their contact details. One query each unless stated."""

from collections.abc import Iterable
from uuid import UUID

from prep.models import Buyer, FormerParticulars
from prep.record.facts import BuyerRef
from prep.record.refusal import Refusal


def buyer_at(buyer: UUID, sites: Iterable[str]) -> Buyer:
    """A buyer of one of the sites, erased or not; Refusal where there is none."""
    row = Buyer.objects.filter(pk=buyer, site_id__in=list(sites)).first()
    if row is None:
        raise Refusal("no-such-buyer")
    return row


def buyer_of(reference: BuyerRef) -> Buyer | None:
    """The buyer a reference in the log points to, with present details; None once erased."""
    return Buyer.objects.filter(pk=reference.id, erased=None).first()


def particulars_of(reference: BuyerRef) -> Buyer | FormerParticulars | None:
    """The details a reference in the log was made from, even if corrected since. Two queries.

    None once erased. Where no kept version gives the reference's digest, the present details are
    returned, so that a comparison with the reference shows that they differ.
    """
    buyer = buyer_of(reference)
    if buyer is None or buyer.digest() == reference.digest:
        return buyer
    former = (kept for kept in buyer.former.order_by("id") if kept.digest() == reference.digest)
    return next(former, buyer)
