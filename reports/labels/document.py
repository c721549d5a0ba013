"""Labels of one unit or of many, with a QR code that opens the unit on a phone."""

from collections.abc import Sequence
from typing import Annotated, Final
from uuid import UUID

import msgspec
from django.conf import settings

from prep.models import Person
from prep.queries.people import sites_of
from prep.queries.units import plates_of
from prep.record.refusal import Refusal
from prep.record.roles import STAFF
from reports.bundles.contents import machine
from reports.document_kind import (
    Accepted,
    BuiltFile,
    Correction,
    Progress,
    Request,
    stand_in_of,
    temporary_file,
)
from reports.labels.pdf import LabelFacts, label_pages
from reports.labels.sizes import size_named
from reports.languages import reader_for, settled_language
from reports.models import DocumentRequest
from reports.numbers import check_address, drawn_number

LETTER: Final = "L"  # begins the numbers of its documents
MOST: Final = 500


class Parameters(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Parameters of labels: the size, and the place of the first one on a part-used sheet.

    Places count from 1 at the top left.

    `units` are those of a document of many, in the order of the labels; a unit named twice gets
    two. A document of one unit names none. `language` is that of the words on the label; without
    one, that of whoever asks.
    """

    size: str
    first: Annotated[int, msgspec.Meta(ge=1)] = 1
    units: Annotated[tuple[UUID, ...], msgspec.Meta(max_length=MOST)] = ()
    language: str = ""


class Fixed(Parameters, frozen=True, forbid_unknown_fields=True):
    """The parameters with what each label says."""

    labels: tuple[LabelFacts, ...] = ()


def accept(request: Request) -> Accepted:
    """Accept a request for labels; each request is a document of its own.

    What they say is fixed now, so that they are the same whenever they are drawn.

    Raises Refusal for an unknown size, place or language, and for units the person has no labels
    made of.
    """
    wanted: Parameters = request.parameters
    size = size_named(wanted.size)
    if wanted.first > size.count:
        raise Refusal("no-such-place", field="first", count=size.count)
    language = settled_language(request)
    if request.unit is not None:
        if wanted.units:
            raise Refusal("units-unwanted", field="units")
    else:
        _check_units(request.person, wanted.units)
    units = wanted.units or tuple(filter(None, [request.unit]))
    fixed = {"language": language, "labels": [msgspec.to_builtins(one) for one in _labels(units)]}
    return Accepted(str(request.command), {**request.sent, **fixed})


def _labels(units: Sequence[UUID]) -> list[LabelFacts]:
    plates = plates_of(units)
    return [
        LabelFacts(
            serial=plate.serial,
            machine=machine(plate.maker, plate.model_name),
            site=", ".join(filter(None, (plate.dealer, plate.site_name, plate.phone))),
            address=unit_address(one),
        )
        for one in units
        if (plate := plates.get(one))
    ]


def _check_units(person: Person, units: Sequence[UUID]) -> None:
    """Raise Refusal unless the person is more than an auditor at the yard of each unit."""
    if not units:
        raise Refusal("units-missing", field="units")
    roles, plates = sites_of(person), plates_of(units)
    unknown = [one for one in units if one not in plates or plates[one].site not in roles]
    if unknown:
        raise Refusal("no-such-units", field="units", units=[str(one) for one in unknown[:5]])
    if not all(roles[plates[one].site] & STAFF for one in units):
        raise Refusal("not-allowed", roles=tuple(sorted(STAFF)))


def first_cause(cause: str) -> str:
    """The command the labels were first made for; labels with a corrected serial replace them."""
    return cause.partition("/")[0]


def corrected(correction: Correction) -> list[Accepted]:
    """Every label of this unit alone, once more with the serial as it was corrected."""
    record = correction.record
    made = DocumentRequest.objects.filter(
        unit=correction.unit, kind="labels", created__lte=record.recorded
    )
    newest = {first_cause(one.cause): one.parameters for one in made.order_by("created")}
    named = {
        "serial": record.serial,
        "machine": machine(record.maker, record.model.name if record.model else ""),
    }
    return [
        Accepted(
            f"{cause}/{record.version}",
            {**parameters, "labels": [{**label, **named} for label in parameters["labels"]]},
        )
        for cause, parameters in newest.items()
    ]


def build(request: DocumentRequest, progress: Progress) -> BuiltFile:
    """Draw the labels of the unit, or of the units named."""
    wanted = msgspec.convert(request.parameters, Fixed)
    path = temporary_file(request, ".pdf")
    size, reader, stands_in = size_named(wanted.size), reader_for(request), stand_in_of(request)
    number = drawn_number(LETTER, request.seed)
    subject = check_address(number)
    if stands_in:
        subject = f"{stands_in.text(reader)} {subject}"
    path.write_bytes(label_pages(wanted.labels, size, wanted.first, reader, subject))
    progress(1, 1)
    return BuiltFile(path, f"labels-{number}.pdf", number, "application/pdf")


def unit_address(unit: UUID) -> str:
    """Address of a unit's page, which is what its QR codes hold."""
    return f"{settings.ADDRESS}/units/{unit}/"
