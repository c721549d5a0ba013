"""Readiness of a unit for stock and for its buyer, with the reasons it is not ready."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

import msgspec

from prep.record.unit.guards import box_name, fits, unfinished
from prep.record.unit.sheet import Status, open_boxes, waits_for
from prep.record.unit.sheet import statuses as sheet_statuses
from prep.record.unit.state import Record


class Answer(StrEnum):
    """Whether a unit is ready, and for whom."""

    NOT_READY = "not-ready"
    READY_FOR_STOCK = "ready-for-stock"
    READY_FOR_BUYER = "ready-for-buyer"


def answer_of(*, for_stock: bool, for_buyer: bool) -> Answer:
    """The answer by what a unit is ready for."""
    if for_buyer:
        return Answer.READY_FOR_BUYER
    return Answer.READY_FOR_STOCK if for_stock else Answer.NOT_READY


@dataclass(frozen=True)
class Reason:
    """One reason a unit is not ready: stable code, values, and the step or flag to go to.

    `prep.words.readiness` has the sentence of each code; the values are what it names.
    """

    code: str
    values: Mapping[str, Any] = field(default_factory=dict)
    step: str = ""
    flag: str = ""

    def stored(self) -> dict[str, Any]:
        """As a row of an index keeps it, and a refusal brings it."""
        return {
            "code": self.code,
            "values": dict(self.values),
            "step": self.step,
            "flag": self.flag,
        }


@dataclass(frozen=True)
class Readiness:
    """Whether a unit is ready, and why not.

    `stock` holds the reasons it is not ready for stock, `buyer` the further reasons it is not ready
    for its buyer. `release` is there where a withdrawn release has to be given again though no work
    has to be done again: that alone does not stand in the way of the release itself.
    """

    stock: tuple[Reason, ...]
    buyer: tuple[Reason, ...]
    has_buyer: bool
    release: tuple[Reason, ...] = ()

    @property
    def ready_for_stock(self) -> bool:
        """Prepared as far as it can be without knowing the tractor."""
        return not (self.stock or self.release)

    @property
    def ready_for_buyer(self) -> bool:
        """Prepared and matched to the assigned buyer's tractor."""
        return self.has_buyer and not self.reasons

    @property
    def before_release(self) -> tuple[Reason, ...]:
        """What stands in the way of a release, for stock and for the buyer."""
        return self.stock + self.buyer

    @property
    def reasons(self) -> tuple[Reason, ...]:
        """All reasons, for stock and for the buyer."""
        return self.before_release + self.release

    @property
    def answer(self) -> Answer:
        """The answer alone, without its reasons."""
        return answer_of(for_stock=self.ready_for_stock, for_buyer=self.ready_for_buyer)


def readiness(record: Record) -> Readiness:
    """Readiness of a unit from its record alone."""
    if record.joined_into:
        ended = Reason("joined-away", {"serial": record.joined_into[0].serial})
        return Readiness((ended,), (), record.buyer is not None)
    stock = [*_before_the_sheet(record), *_flags(record), *_steps(record, tractor=False)]
    buyer = _steps(record, tractor=True) if record.buyer else []
    return Readiness(tuple(stock), tuple(buyer), record.buyer is not None, _release(record))


def _release(record: Record) -> tuple[Reason, ...]:
    withdrawn = record.release_to_renew
    if withdrawn is None:
        return ()
    values = {"reason": withdrawn.reason, "nothing_because": withdrawn.nothing_because}
    return (Reason("release-again", values),)


def _before_the_sheet(record: Record) -> list[Reason]:
    reasons = []
    if record.held:
        reasons.append(Reason("on-hold", {"reason": record.held[0]}))
    reasons += _model_and_procedure(record)
    for shortage in record.shortages.values():
        if shortage.arrived is None and shortage.event.stops_release:
            noted = shortage.event
            values = {"part": noted.part, "count": noted.count, "expected": noted.expected}
            reasons.append(Reason("shortage", values))
    return reasons


def _model_and_procedure(record: Record) -> list[Reason]:
    """Whether the model is known and the manufacturer's, and the procedure one for this unit."""
    model, procedure, reasons = record.model, record.procedure, []
    if model is None:
        return [Reason("no-model")]
    if model.manufacturer != record.manufacturer:
        plate = {"model": model.name, "manufacturer": record.maker}
        reasons.append(Reason("model-of-another", plate))
    if procedure is None:
        reasons.append(Reason("no-sheet"))
    elif not fits(record):
        about = {"title": procedure.title, "revision": procedure.revision, "serial": record.serial}
        reasons.append(Reason("sheet-does-not-fit", about))
    return reasons


def _flags(record: Record) -> list[Reason]:
    return [
        Reason(
            "flag-open",
            {"about": msgspec.json.decode(msgspec.json.encode(flag.about))},  # as a row keeps it
            step=flag.box[0],
            flag=flag.id,
        )
        for flag in record.open_flags()
    ]


def _steps(record: Record, *, tractor: bool) -> list[Reason]:
    assert record.procedure is not None or record.sheet is None
    status_of = sheet_statuses(record)
    reasons = []
    values: dict[str, Any]
    for step, status in unfinished(record, tractor_steps=tractor):
        if status is Status.FLAGGED:
            continue  # its flag is a reason already, and says more
        if status is Status.AWAITS_STEP and record.procedure:
            titles = [record.procedure.steps[code].title for code in waits_for(step, status_of)]
            code, values = "step-waits", {"titles": titles}
        elif status is Status.BEGUN:
            left = [box_name(step, (step.step, *box)) for box in open_boxes(record, step)]
            code, values = "step-begun", {"boxes": left}
        else:
            code, values = "step-open", {"status": status.value}
        reasons.append(Reason(code, {"step_title": step.title, **values}, step=step.step))
    return reasons
