"""Facts about things that are not units: models, tractors, instruments.

Each has a stream of its own; a unit's event freezes the facts it was decided by, so that a later
change of a model or a recalibration cannot change what was decided.
"""

from typing import Any, Literal

import msgspec

Data = dict[str, Any]


class ModelFacts(msgspec.Struct, frozen=True):
    """A maker's machine model: quantities as text with their unit, numbers, yes/no, lists."""

    code: str
    revision: int
    maker: str
    name: str
    data: Data
    options: tuple[str, ...] = ()
    serial_scheme: Data = {}
    manual: str = ""


class ModelDocument(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A model or a tractor as people write it in YAML; `sort` says which of the two."""

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

    def facts(self) -> ModelFacts:
        """The facts that go into the log."""
        return ModelFacts(
            self.model,
            self.revision,
            self.maker,
            self.name,
            self.data,
            self.options,
            self.serial_scheme,
            self.manual,
        )


class TractorFacts(msgspec.Struct, frozen=True):
    """A buyer's tractor as far as a unit must fit it."""

    code: str
    name: str
    data: Data


class BuyerRef(msgspec.Struct, frozen=True):
    """A buyer without personal data: a reference, and a salted digest of the data it stands for."""

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
