"""The warranty registration form as a one-page PDF, with its proof."""

from collections.abc import Mapping
from datetime import datetime
from typing import Final
from zoneinfo import ZoneInfo

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Paragraph, Spacer, Table

from reports.bundles.contents import machine
from reports.pdf import typeface
from reports.pdf.archival import archival
from reports.pdf.page import About, Running, document, paper_named, room
from reports.pdf.typeface import plain
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
    ("TOPPADDING", (0, 0), (-1, 0), 8),
    ("TOPPADDING", (0, 1), (-1, -1), 2),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
]
CAUTION: Final = (
    "The maker's manual for the exact serial number, local codes, and licensed or trained "
    "practice come first."
)

Answers = Mapping[str, str]


def draw(form: RegistrationForm, time_zone: str) -> bytes:
    """The form as PDF/A-3b with registration.json attached; moments in the yard's time zone."""
    paper = paper_named("", time_zone)
    unit = form.unit
    running = Running(
        head=(f"Warranty registration {form.number}", unit.serial),
        foot=(f"{form.dealer.name}, {form.dealer.site_name}", form.number),
        head_on_first=False,
    )
    about = About(
        title=f"Warranty registration {form.number}",
        subject=f"{machine(unit.maker, unit.model_name)}, serial {unit.serial}",
        author=form.dealer.name,
    )
    pages = document(_story(form, room(paper), ZoneInfo(time_zone)), paper, running, about)
    return archival(pages, as_json(form), "registration.json", "This form for programs")


def _story(form: RegistrationForm, width: float, zone: ZoneInfo) -> list[Flowable]:
    return [
        *_top(form, width),
        *_part("Machine", _machine(form), width),
        *_part("Buyer", _buyer(form), width),
        *_part("Delivery", _delivery(form, zone), width),
        *_part("Tractor", _tractor(form), width),
        *_part("Preparation", _preparation(form, zone), width),
        *_part("Asked for by the maker", _required(form), width),
        *_part("Proof", _proof(form), width),
        Spacer(0, 3 * mm),
        Paragraph(plain(CAUTION), typeface.NOTE),
    ]


def _top(form: RegistrationForm, width: float) -> list[Flowable]:
    unit = form.unit
    due = f"Due by {form.due}" if form.due else "The maker's time limit is not known here"
    replaced = f", replaces {form.replaces}" if form.replaces else ""
    return [
        Paragraph("Warranty registration", typeface.TITLE),
        Paragraph(plain(f"{form.number} · version {form.version}{replaced}"), typeface.TEXT),
        Spacer(0, 3 * mm),
        typeface.fitted(machine(unit.maker, unit.model_name), width, 15, 9),
        typeface.fitted(f"Serial {unit.serial}", width, 15, 9),
        Paragraph(plain(f"Delivered {form.delivery.date} · {due}"), typeface.TEXT),
    ]


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


def _machine(form: RegistrationForm) -> Answers:
    unit = form.unit
    return {
        "Maker": unit.maker,
        "Model": f"{unit.model_name} ({unit.model}, data revision {unit.model_revision})",
        "Serial, as on the plate": unit.serial,
        "Options": ", ".join(unit.options),
    }


def _buyer(form: RegistrationForm) -> Answers:
    buyer = form.buyer
    return {
        "Name": buyer.name,
        "Address": buyer.address,
        "Phone": buyer.phone,
        "E-mail": buyer.email,
    }


def _delivery(form: RegistrationForm, zone: ZoneInfo) -> Answers:
    given, recipient = form.delivery, form.recipient
    return {
        "Dealer": f"{form.dealer.name}, {form.dealer.site_name}",
        "Delivery date": given.date,
        "Use": given.use,
        "Hour meter": given.hour_meter,
        "Place": given.place,
        "Handed over by": f"{given.handed_over_by}, {local(given.moment, zone)}",
        "Taken over by": ", ".join(filter(None, (recipient.name, recipient.relation))),
        "Shown and explained": "; ".join(given.shown),
        "In the language": recipient.language,
        "Maker's manual given": "yes" if given.manual_given else "no",
    }


def _tractor(form: RegistrationForm) -> Answers:
    return {"Matched to": f"{form.tractor.name} ({form.tractor.code})"}


def _preparation(form: RegistrationForm, zone: ZoneInfo) -> Answers:
    done = form.preparation
    return {
        "Procedure": f"{done.procedure}, revision {done.revision}",
        "Released by": f"{done.released_by}, {local(done.released, zone)}",
        "Delivery certificate": done.certificate,
        "Its SHA-256": done.certificate_sha256,
    }


def _required(form: RegistrationForm) -> Answers:
    return {name[:1].upper() + name[1:]: text for name, text in form.required_by_model.items()}


def _proof(form: RegistrationForm) -> Answers:
    log = form.log
    return {
        "Sealed log": f"{log.origin}: the handover is entry {log.entry} of {log.size}",
        "How to check": "Open verify.html from the bundle this form came in; it works offline.",
        "Buyer in the log": f"SHA-256 {form.buyer.digest}\nsalt {form.buyer.salt}",
    }


def local(moment: str, zone: ZoneInfo) -> str:
    """A moment of the log (ISO 8601, UTC) as date and time in the yard's time zone."""
    when = datetime.fromisoformat(moment).astimezone(zone)
    return when.strftime("%Y-%m-%d %H:%M ") + (when.tzname() or "")
