"""What the dealership keeps: instruments, models, procedures, members, buyers. One query each."""

from collections.abc import Iterable
from typing import Any
from uuid import UUID

import msgspec

from prep.models import (
    Buyer,
    FormerParticulars,
    Instrument,
    MachineModel,
    Membership,
    Person,
    ProcedureRevision,
)
from prep.record.facts import BuyerRef, InstrumentFacts, ModelFacts
from prep.record.refusal import Refusal

Row = dict[str, Any]


def instrument_rows(sites: Iterable[str], *, site: str = "", kind: str = "") -> list[Row]:
    """Instruments of the sites, by kind and name."""
    found = Instrument.objects.filter(site_id__in=list(sites))
    if site:
        found = found.filter(site=site)
    if kind:
        found = found.filter(kind=kind)
    columns = ("code", "site", "kind", "name", "due", "out_of_service")
    return list(found.order_by("kind", "name", "code").values(*columns))


def instrument_at(code: str, sites: Iterable[str]) -> tuple[str, InstrumentFacts]:
    """Site and facts of an instrument of the sites."""
    found = Instrument.objects.filter(pk=code, site_id__in=list(sites))
    row = found.values_list("site_id", "facts").first()
    if row is None:
        raise Refusal(
            "no-such-instrument",
            f"There is no instrument “{code}” at your sites. Read the code on its label.",
            field="instrument",
        )
    return row[0], msgspec.convert(row[1], InstrumentFacts)


def model_rows(sort: str) -> list[Row]:
    """Machines or tractors (`sort`), by name."""
    found = MachineModel.objects.filter(sort=sort).order_by("name", "code")
    return [dict(row) for row in found.values("code", "maker", "name", "revision")]


def model_of(code: str, sort: str) -> ModelFacts:
    """Present facts of a machine or a tractor."""
    facts = MachineModel.objects.filter(pk=code, sort=sort).values_list("facts", flat=True).first()
    if facts is None:
        what = "model" if sort == "machine" else "tractor"
        raise Refusal(f"no-such-{what}", f"There is no {what} “{code}”.")
    return msgspec.convert(facts, ModelFacts)


def procedure_rows(procedure: str = "") -> list[Row]:
    """Revisions in force, the newest of each procedure first."""
    found = ProcedureRevision.objects.order_by("procedure", "-revision")
    if procedure:
        found = found.filter(procedure=procedure)
    columns = ("procedure", "revision", "digest", "title", "model_codes", "published")
    return list(found.values(*columns))


def procedure_row(procedure: str, revision: int) -> Row:
    """A revision with its document."""
    found = ProcedureRevision.objects.filter(procedure=procedure, revision=revision).values()
    row = found.first()
    if row is None:
        raise Refusal(
            "no-such-procedure", f"Procedure {procedure} has no revision {revision} in force."
        )
    return dict(row)


def member_rows(site: str) -> list[Row]:
    """Who holds which role at a site, by name."""
    found = Membership.objects.filter(site=site).order_by("person__printed_name", "role")
    columns = ("role", "person__username", "person__printed_name")
    return [dict(zip(columns, row, strict=True)) for row in found.values_list(*columns)]


def person_named(username: str) -> Person:
    """A person by user name."""
    found = Person.objects.filter(username=username).first()
    if found is None:
        raise Refusal(
            "no-such-person", f"Nobody is enrolled as {username}. Enrol them first.", field="person"
        )
    return found


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
