"""The warranty registration form as a one-page PDF, with its proof."""

from collections.abc import Mapping
from datetime import datetime
from typing import Final
from zoneinfo import ZoneInfo

from django.utils.translation import gettext_noop as _
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Paragraph, Spacer, Table

from prep.words import dates
from prep.words.documents.stand_ins import stand_in_text
from prep.words.reader import Reader, say
from prep.words.registration import item_name
from reports.bundles.contents import machine
from reports.numbers import check_address
from reports.pdf import typeface
from reports.pdf.archival import Attachment, archival
from reports.pdf.letterhead import Issuer, issued_by
from reports.pdf.page import About, Running, document, paper_named, room
from reports.pdf.parts import noted
from reports.pdf.typeface import plain
from reports.registration.facts import spelling
from reports.registration.schema import RegistrationForm, as_json

LABELS: Final = 44 * mm
MOST: Final = 4000  # characters of one answer
RULED: Final = [
    (
        "FONT",
        (0, 0),
        (-1, -1),
        typeface.BODY,
        8,
    ),  # else the table names a face that is not embedded
    ("SPAN", (0, 0), (1, 0)),
    ("NOSPLIT", (0, 0), (-1, 1)),  # a heading stays with its first answer
    ("LINEABOVE", (0, 1), (-1, -1), 0.3, "#909090"),
    ("LINEBELOW", (0, -1), (-1, -1), 0.3, "#909090"),
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ("TOPPADDING", (0, 0), (-1, 0), 5),
    ("TOPPADDING", (0, 1), (-1, -1), 2),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
]
CAUTION: Final = _(
    "The manufacturer's manual for the exact serial number, local codes, and licensed or trained "
    "practice come first."
)

Answers = Mapping[str, str]


def draw(form: RegistrationForm, issuer: Issuer, reader: Reader) -> bytes:
    """The form as PDF/A-3b with registration.json attached; moments in the reader's time zone."""
    paper = paper_named("", reader.time_zone)
    unit = form.unit
    title = say(reader, "Warranty registration {number}", number=form.number)
    named = machine(unit.maker, unit.model_name)
    running = Running(
        head=(title, unit.serial),
        foot=(f"{form.dealer.name}, {form.dealer.site_name}", form.number),
        head_on_first=False,
    )
    about = About(
        title=title,
        subject=say(reader, "{machine}, serial {serial}", machine=named, serial=unit.serial),
        author=form.dealer.name,
        language=reader.language,
    )
    pages = document(_story(form, issuer, room(paper), reader), paper, running, about)
    attached = say(reader, "This form for programs")
    return archival(pages, Attachment("registration.json", as_json(form), attached))


def _story(form: RegistrationForm, issuer: Issuer, width: float, reader: Reader) -> list[Flowable]:
    required = _required(form, reader)
    return [
        *issued_by(issuer, width),
        Spacer(0, 3 * mm),
        *_top(form, width, reader),
        *_part(say(reader, "Machine"), _machine(form, reader), width),
        *_part(say(reader, "Buyer"), _buyer(form, reader), width),
        *_part(say(reader, "Delivery"), _delivery(form, reader), width),
        *_part(say(reader, "Tractor"), _tractor(form, reader), width),
        *_part(say(reader, "Preparation"), _preparation(form, reader), width),
        *_part(say(reader, "Required by the manufacturer"), required, width),
        *_part(say(reader, "Proof"), _proof(form, reader), width),
        Spacer(0, 3 * mm),
        Paragraph(plain(say(reader, CAUTION)), typeface.NOTE),
    ]


def _top(form: RegistrationForm, width: float, reader: Reader) -> list[Flowable]:
    unit = form.unit
    serial = say(reader, "Serial {serial}", serial=unit.serial)
    return [
        Paragraph(plain(say(reader, "Warranty registration")), typeface.TITLE),
        Paragraph(plain(_version(form, reader)), typeface.TEXT),
        *_stands_in(form, width, reader),
        Spacer(0, 3 * mm),
        typeface.fitted(machine(unit.maker, unit.model_name), width, 15, 9),
        typeface.fitted(serial, width, 15, 9),
        Paragraph(plain(_deadline(form, reader)), typeface.TEXT),
    ]


def _version(form: RegistrationForm, reader: Reader) -> str:
    text = (
        _("{number} · version {version}, replaces {replaced}")
        if form.replaces
        else _("{number} · version {version}")
    )
    return say(reader, text, number=form.number, version=form.version, replaced=form.replaces)


def _stands_in(form: RegistrationForm, width: float, reader: Reader) -> list[Flowable]:
    if not form.stands_in_for:
        return []
    text = stand_in_text(form.stands_in_for, form.stands_in_because, reader)
    return [Spacer(0, 2 * mm), noted(text, width)]


def _deadline(form: RegistrationForm, reader: Reader) -> str:
    delivered = dates.short_day(form.delivery.date, reader)
    if not form.due:
        return say(reader, "Delivered {day} · No deadline on file", day=delivered)
    due = dates.short_day(form.due, reader)
    return say(reader, "Delivered {day} · Due by {due}", day=delivered, due=due)


def _part(title: str, answers: Answers, width: float) -> list[Flowable]:
    given = {label: answer for label, answer in answers.items() if answer}
    if not given:
        return []
    head = [Paragraph(plain(title), typeface.SECTION), ""]
    rows = [
        [Paragraph(plain(label), typeface.LABEL), Paragraph(plain(answer, MOST), typeface.TEXT)]
        for label, answer in given.items()
    ]
    widths = [LABELS, width - LABELS]
    return [Table([head, *rows], colWidths=widths, style=RULED, splitInRow=1)]


def _machine(form: RegistrationForm, reader: Reader) -> Answers:
    unit = form.unit
    model = say(
        reader,
        "{name} ({code}, data revision {revision})",
        name=unit.model_name,
        code=unit.model,
        revision=unit.model_revision,
    )
    return {
        say(reader, "Manufacturer"): unit.maker,
        say(reader, "Model"): model,
        say(reader, "Serial number, as on the plate"): unit.serial,
        say(reader, "Options"): ", ".join(unit.options),
    }


def _buyer(form: RegistrationForm, reader: Reader) -> Answers:
    buyer = form.buyer
    return {
        say(reader, "Name"): buyer.name,
        say(reader, "Address"): buyer.address,
        say(reader, "Phone"): buyer.phone,
        say(reader, "E-mail"): buyer.email,
    }


def _delivery(form: RegistrationForm, reader: Reader) -> Answers:
    given, recipient = form.delivery, form.recipient
    manual = say(reader, "yes") if given.manual_given else say(reader, "no")
    return {
        say(reader, "Dealer"): f"{form.dealer.name}, {form.dealer.site_name}",
        say(reader, "Delivery date"): dates.short_day(given.date, reader),
        say(reader, "Use"): given.use,
        say(reader, "Hour meter"): given.hour_meter,
        say(reader, "Location"): given.place,
        say(reader, "Handed over by"): signed(given.handed_over_by, given.moment, reader),
        say(reader, "Received by"): ", ".join(filter(None, (recipient.name, recipient.relation))),
        say(reader, "Walk-through covered"): "; ".join(given.shown),
        say(reader, "Language"): recipient.language,
        say(reader, "Operator's manual given"): manual,
    }


def _tractor(form: RegistrationForm, reader: Reader) -> Answers:
    return {say(reader, "Matched to"): f"{form.tractor.name} ({form.tractor.code})"}


def _preparation(form: RegistrationForm, reader: Reader) -> Answers:
    done = form.preparation
    procedure = say(
        reader,
        "{procedure}, revision {revision}",
        procedure=done.procedure,
        revision=done.revision,
    )
    return {
        say(reader, "Procedure"): procedure,
        say(reader, "Released by"): signed(done.released_by, done.released, reader),
        say(reader, "Delivery certificate"): done.certificate,
        say(reader, "SHA-256 of the certificate"): done.certificate_sha256,
    }


def _required(form: RegistrationForm, reader: Reader) -> Answers:
    """The manufacturer's own fields: by our name where we have one, else by its own."""
    names = {name: item_name(spelling(name), reader) for name in form.required_by_model}
    return {
        names[name][:1].upper() + names[name][1:]: text
        for name, text in form.required_by_model.items()
    }


def _proof(form: RegistrationForm, reader: Reader) -> Answers:
    log = form.log
    sealed = say(
        reader,
        "{log}: the handover is entry {entry} of {size}",
        log=log.origin,
        entry=log.entry,
        size=log.size,
    )
    return {
        say(reader, "Sealed log"): sealed,
        say(reader, "How to check"): say(
            reader, "Open verify.html from the bundle this form came in. It works offline."
        ),
        say(reader, "Where it stands now"): check_address(form.number),
        say(reader, "Buyer in the log"): say(
            reader, "SHA-256 {digest}\nsalt {salt}", digest=form.buyer.digest, salt=form.buyer.salt
        ),
    }


def signed(name: str, moment: str, reader: Reader) -> str:
    """A printed name and a moment of the log (ISO 8601, UTC) in the reader's time zone."""
    when = datetime.fromisoformat(moment).astimezone(ZoneInfo(reader.time_zone))
    return f"{name}, {dates.moment(when, reader)}"
