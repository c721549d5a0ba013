"""Commands on an instrument: record it as it now is, and move it to another yard."""

from collections.abc import Sequence
from typing import Annotated, ClassVar

import msgspec

from prep.record.command import Command, Facts, Permission
from prep.record.facts import InstrumentFacts
from prep.record.fields import Meta, Name, Reason, Short, SiteCode
from prep.record.inputs.spelling import day_of
from prep.record.instrument.events import InstrumentMoved, InstrumentRecorded
from prep.record.refusal import Refusal, refusal_of_unread
from prep.record.roles import OFFICE, Context
from prep.rules.entries.read import Typed
from prep.rules.entries.stated import read_stated
from prep.rules.quantities.quantity import QUANTITIES

Quantity = Annotated[str, Meta(max_length=60, description="With its unit: “600 ft·lbf”.")]
Percent = Annotated[str, Meta(pattern=r"^([0-9]{1,2}(\.[0-9]{1,6})?)?$")]
Day = Annotated[str, Meta(pattern=r"^([0-9]{4}-[0-9]{2}-[0-9]{2})?$")]


class Instrument(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """All facts of an instrument; what is left out is recorded as not stated."""

    code: Annotated[str, Meta(min_length=1, max_length=40, examples=["W-1"])]
    kind: Annotated[str, Meta(min_length=1, max_length=40, examples=["torque wrench"])]
    name: Annotated[str, Meta(max_length=120, examples=["Torque wrench W-1"])]
    quantity: Annotated[str, Meta(max_length=60, examples=["torque"])]
    serial: Short = ""
    low: Quantity = ""
    high: Quantity = ""
    resolution: Quantity = ""
    percent_of_reading: Percent = ""
    percent_of_scale: Percent = ""
    absolute: Quantity = ""
    calibrated: Day = ""
    due: Day = ""
    certificate: Name = ""
    out_of_service: Annotated[str, Meta(max_length=300)] = ""

    def facts(self) -> InstrumentFacts:
        """The instrument as the record keeps it; Refusal where a value cannot be read."""
        if self.quantity not in QUANTITIES:
            raise Refusal(
                "unknown-quantity",
                field="instrument.quantity",
                typed=self.quantity,
                known=tuple(QUANTITIES),
            )
        for name in ("low", "high", "resolution", "absolute"):
            entry = read_stated(text, self.quantity) if (text := getattr(self, name)) else None
            if entry is not None and not isinstance(entry, Typed):
                raise refusal_of_unread(entry, f"instrument.{name}")
        for name in ("calibrated", "due"):
            _check_day(getattr(self, name), f"instrument.{name}")
        return InstrumentFacts(**{name: getattr(self, name) for name in self.__struct_fields__})


def _check_day(text: str, field: str) -> None:
    if text and day_of(text) is None:
        raise Refusal("day-unclear", field=field, typed=text)


InstrumentState = InstrumentRecorded | InstrumentMoved | None


class RecordInstrument(Command, frozen=True, kw_only=True, tag="instrument.record"):
    """Register an instrument, enter its calibration, or take it out of service.

    `instrument` is the instrument as it now is, with all its facts; `reason` is what changed.
    Earlier readings keep the instrument as it was then.
    """

    stream: ClassVar[str] = "instrument"
    permission: ClassVar = Permission(OFFICE)
    creates: ClassVar = True

    site: SiteCode
    instrument: Instrument
    reason: Reason

    def decide(
        self, state: InstrumentState, context: Context, facts: Facts
    ) -> Sequence[InstrumentRecorded]:
        """Readings from now on are judged by these facts. A yard records its own instruments."""
        if state is not None and state.site != self.site:
            raise not_of_this_yard(self.instrument.code)
        return [InstrumentRecorded(self.instrument.facts(), self.site, self.reason)]


class MoveInstrument(Command, frozen=True, kw_only=True, tag="instrument.move"):
    """Move an instrument to another yard.

    `site` is the yard it is at, `to` the yard that gets it. Whoever moves it keeps the instruments
    of both yards.
    """

    stream: ClassVar[str] = "instrument"
    permission: ClassVar = Permission(OFFICE)

    site: SiteCode
    to: SiteCode
    reason: Reason

    def decide(
        self, state: InstrumentState, context: Context, facts: Facts
    ) -> Sequence[InstrumentMoved]:
        """It is where it is said to be: nobody moved it meanwhile."""
        assert state is not None  # nobody stands anywhere for an instrument that is not there
        if state.site != self.site:
            raise not_of_this_yard(state.facts.code)
        if self.to == self.site:
            raise Refusal("nothing-changed")
        return [InstrumentMoved(state.facts, self.to, self.reason)]


def not_of_this_yard(code: str) -> Refusal:
    """The refusal of a yard's command on an instrument that another yard has."""
    return Refusal("instrument-of-another-yard", field="site", instrument=code)
