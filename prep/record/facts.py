"""Facts about models, tractors, buyers and instruments, as events hold them.

Models, tractors and instruments have streams of their own. A unit's event keeps a copy of the
facts it was judged by, so a later change of a model or a recalibration cannot change the verdict.
"""

from typing import Any, Literal

import msgspec

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


class ModelDocument(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """The YAML document of a model or a tractor; `sort` says which of the two."""

    model: str
    revision: int
    sort: Literal["machine", "tractor"]
    maker: str
    name: str
    note: str
    data: Data
    options: tuple[str, ...] = ()
    serial_scheme: Data = {}
    manual: str = ""

    def facts(self, maker: ManufacturerFacts) -> ModelFacts:
        """The facts to record in the log; `maker` is whom the document names."""
        return ModelFacts(
            self.model,
            self.revision,
            maker.name,
            maker.id,
            self.name,
            self.data,
            self.options,
            self.serial_scheme,
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
