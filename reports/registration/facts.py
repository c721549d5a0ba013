"""Facts of a warranty registration: its form filled in, and what is missing. No database here."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final
from uuid import UUID
from zoneinfo import ZoneInfo

from prep.models import Buyer, Checkpoint, FormerParticulars, Recipient
from prep.record.log.envelope import moment
from prep.record.site.state import YardState
from prep.record.unit.state import Record
from prep.words.reader import Reader
from prep.words.unit.handovers import first_use, topics
from reports.document_kind import StandIn
from reports.models import DocumentRequest
from reports.registration import schema


@dataclass(frozen=True)
class Sale:
    """One unit, whom it was sold to, and what proves its preparation."""

    unit: UUID
    record: Record
    site: YardState
    buyer: Buyer | FormerParticulars | None
    recipient: Recipient | None
    certificate: DocumentRequest | None = None
    handover_at: int = 0
    checkpoint: Checkpoint | None = None


def missing_in(sale: Sale) -> tuple[str, ...]:
    """Items missing from a registration, in the order of the form.

    `prep.words.registration` has their names, and what to do about them.
    """
    record, buyer = sale.record, sale.buyer
    checks = {
        "serial": record.serial,
        "model": record.model,
        "buyer name": (buyer and buyer.name.strip()),
        "buyer address": (buyer and buyer.address.strip()),
        "buyer as assigned": not buyer or not record.buyer or buyer.digest() == record.buyer.digest,
        "tractor": record.tractor,
        "release": record.release,
        "handover": record.handover,
        "delivery date": record.handover,
    }
    lacking = [item for item, there in checks.items() if not there]
    lacking += [name for name, answer in required_by_model(sale).items() if not answer]
    return tuple(lacking)


# What a model's data may ask for by name under `registration_requires`, beside `model.<field>`
# and `tractor.<field>`.
FURTHER: Final[dict[str, Callable[[Sale], Any]]] = {
    "buyer phone": lambda sale: sale.buyer and sale.buyer.phone,
    "buyer e-mail": lambda sale: sale.buyer and sale.buyer.email,
    "recipient": lambda sale: sale.recipient and not sale.recipient.erased and sale.recipient.name,
    "hour meter": lambda sale: sale.record.handover and sale.record.handover[0].hour_meter,
    "place": lambda sale: sale.record.handover and sale.record.handover[0].place,
    "options": lambda sale: ", ".join(sale.record.options),
    "carrier papers": lambda sale: sale.record.papers,
}


def of_the_buyer(item: str) -> bool:
    """Whether a missing item is one of the buyer's particulars."""
    return spelling(item).startswith("buyer ")


def required_by_model(sale: Sale) -> dict[str, str]:
    """Answers to the fields the model's own list requires; empty where there is no answer."""
    model = sale.record.model
    asked = model.data.get("registration_requires", ()) if model else ()
    return {str(name): _answer(sale, str(name)) for name in asked}


def _answer(sale: Sale, name: str) -> str:
    known = {spelling(title): read for title, read in FURTHER.items()}
    if spelling(name) in known:
        return str(known[spelling(name)](sale) or "").strip()
    where, _, field = name.partition(".")
    facts = {"model": sale.record.model, "tractor": sale.record.tractor}.get(where)
    return str(facts.data.get(field, "")) if facts else ""


def spelling(name: str) -> str:
    """Normalized name of a field: `buyer_phone`, `Buyer phone` and `buyer phone` are one."""
    return name.replace("_", " ").casefold()


@dataclass(frozen=True)
class Naming:
    """How a version is named: its number, which one it is, and in whose place it comes."""

    number: str
    version: int
    replaces: str = ""
    stands_in: StandIn | None = None


def facts(sale: Sale, naming: Naming, reader: Reader) -> schema.RegistrationForm:
    """The registration form of a sale; nothing may be missing from it."""
    record, details = sale.record, sale.site.details
    assert record.handover is not None  # nothing is lacking
    assert sale.checkpoint is not None
    return schema.RegistrationForm(
        form=schema.SCHEMA_ID,
        number=naming.number,
        version=naming.version,
        replaces=naming.replaces,
        stands_in_for=naming.stands_in.number if naming.stands_in else "",
        stands_in_because=naming.stands_in.why if naming.stands_in else "",
        due=record.handover[0].registration_due,
        unit=_machine(sale),
        dealer=schema.Dealer(details.dealer, sale.site.code, details.name),
        buyer=_buyer(sale),
        recipient=_recipient(sale),
        delivery=_delivery(sale, reader),
        tractor=_tractor(sale),
        preparation=_preparation(sale),
        required_by_model=required_by_model(sale),
        log=schema.Log(
            sale.checkpoint.note.partition("\n")[0], sale.handover_at, sale.checkpoint.size
        ),
    )


def _machine(sale: Sale) -> schema.Machine:
    record = sale.record
    assert record.model is not None
    return schema.Machine(
        str(sale.unit),
        record.maker,
        record.serial,
        record.model.code,
        record.model.name,
        record.model.revision,
        record.options,
    )


def _buyer(sale: Sale) -> schema.Buyer:
    reference, buyer = sale.record.buyer, sale.buyer
    assert reference is not None
    assert buyer is not None
    return schema.Buyer(
        reference.id,
        buyer.name,
        buyer.address,
        buyer.phone,
        buyer.email,
        buyer.salt,
        buyer.digest(),
    )


def _recipient(sale: Sale) -> schema.Recipient:
    assert sale.record.handover is not None
    event = sale.record.handover[0]
    kept = sale.recipient if sale.recipient and not sale.recipient.erased else None
    return schema.Recipient(
        kept.name if kept else "",
        event.relation,
        event.language,
        kept.salt if kept else "",
        event.recipient_digest,
    )


def _delivery(sale: Sale, reader: Reader) -> schema.Delivery:
    assert sale.record.handover is not None
    event, stamp = sale.record.handover
    return schema.Delivery(
        event.handover,
        stamp.happened.astimezone(ZoneInfo(sale.site.details.time_zone)).date().isoformat(),
        moment(stamp.happened),
        stamp.name,
        first_use(event.first_use, reader),
        event.first_use,
        event.place,
        event.hour_meter,
        event.manual_given,
        topics(event.shown, reader),
        event.shown,
    )


def _tractor(sale: Sale) -> schema.Tractor:
    tractor = sale.record.tractor
    assert tractor is not None
    return schema.Tractor(tractor.code, tractor.name, tractor.data)


def _preparation(sale: Sale) -> schema.Preparation:
    record, certificate = sale.record, sale.certificate
    assert record.sheet is not None
    assert record.release is not None
    assert certificate is not None
    return schema.Preparation(
        record.sheet.procedure,
        record.sheet.revision,
        record.sheet.digest,
        moment(record.release.stamp.happened),
        record.release.stamp.name,
        certificate.number,
        certificate.digest,
    )
