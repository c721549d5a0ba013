"""Facts about models, tractors, buyers and instruments, as events hold them.

Models, tractors and instruments have streams of their own. A unit's event keeps a copy of the
facts it was judged by, so a later change of a model or a recalibration cannot change the verdict.
"""

from typing import Annotated, Any, Literal

import msgspec

from prep.record.fields import FILLED
from prep.rules.identity.serial_schemes import Scheme

Data = dict[str, Any]


class ManufacturerFacts(msgspec.Struct, frozen=True):
    """A manufacturer of the register: its id, its name as plates print it, further spellings."""

    id: str
    name: str
    aliases: tuple[str, ...] = ()

    @property
    def spellings(self) -> tuple[str, ...]:
        """Every name it goes by, the one on its plates first."""
        return (self.name, *self.aliases)


class ModelFacts(msgspec.Struct, frozen=True):
    """A machine model. `data` holds quantities as text with their unit, numbers, yes/no, lists.

    `maker` is the manufacturer's name as it was printed then, `manufacturer` its id.
    """

    code: str
    revision: int
    maker: str
    manufacturer: str
    name: str
    data: Data
    options: tuple[str, ...] = ()
    serial_scheme: Data = {}
    manual: str = ""


# A field of a model's data is named in a path, after a point.
DataName = Annotated[
    str,
    msgspec.Meta(pattern="^[A-Za-z0-9_-]+$", max_length=60, extra={"malformed": "data-name-unfit"}),
]
Datum = str | int | bool
Text = Annotated[str, msgspec.Meta(max_length=2000)]


class ModelDocument(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """The YAML document of a model or a tractor; `sort` says which of the two."""

    model: Annotated[str, msgspec.Meta(pattern=FILLED, max_length=40)]
    revision: Annotated[int, msgspec.Meta(ge=1, le=1_000_000)]
    sort: Literal["machine", "tractor"]
    maker: Annotated[str, msgspec.Meta(pattern=FILLED, max_length=60)]
    name: Annotated[str, msgspec.Meta(pattern=FILLED, max_length=120)]
    note: Text
    data: dict[DataName, Datum | tuple[Datum, ...]]
    options: tuple[Annotated[str, msgspec.Meta(pattern=FILLED, max_length=60)], ...] = ()
    serial_scheme: Scheme | None = None
    manual: Text = ""

    def facts(self, maker: ManufacturerFacts) -> ModelFacts:
        """The facts to record in the log; `maker` is whom the document names."""
        return ModelFacts(
            self.model,
            self.revision,
            maker.name,
            maker.id,
            self.name,
            {name: msgspec.to_builtins(value) for name, value in self.data.items()},
            self.options,
            msgspec.to_builtins(self.serial_scheme) if self.serial_scheme else {},
            self.manual,
        )


class TractorFacts(msgspec.Struct, frozen=True):
    """A buyer's tractor: the data a unit has to be matched to."""

    code: str
    name: str
    data: Data


class Wording(msgspec.Struct, frozen=True):
    """The words a person signed or acknowledged: their language, and the SHA-256 of their text.

    The log keeps the text in the stream named by the digest.
    """

    language: str
    digest: str


class BuyerRef(msgspec.Struct, frozen=True):
    """Reference to a buyer without personal data: an id and a salted digest of the buyer's data."""

    id: str
    digest: str


class InstrumentFacts(msgspec.Struct, frozen=True):
    """A measuring tool as it was when a reading was taken. Quantities are text with their unit."""

    code: str
    kind: str
    name: str
    quantity: str
    serial: str = ""
    low: str = ""
    high: str = ""
    resolution: str = ""
    percent_of_reading: str = ""
    percent_of_scale: str = ""
    absolute: str = ""
    calibrated: str = ""
    due: str = ""
    certificate: str = ""
    out_of_service: str = ""


class Paper(msgspec.Struct, frozen=True):
    """Source of an entry copied from a handwritten page: a picture of the page, and its writer.

    The event's `happened` is when it was written; its actor and `recorded` are who copied it, and
    when.
    """

    photo: str
    digest: str
    writer: str
    writer_name: str


class Damage(msgspec.Struct, frozen=True):
    """Damage on arrival: what, where, how many, and whether the bill of lading notes it."""

    what: str
    where: str
    count: int = 1
    on_carrier_paper: bool = False
