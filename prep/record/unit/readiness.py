"""Readiness of a unit for stock and for its buyer, with the reasons it is not ready."""

from dataclasses import dataclass

from prep.record.unit.flag_facts import FlagFacts
from prep.record.unit.guards import box_name, unfinished
from prep.record.unit.sheet import Status, open_boxes, waits_for
from prep.record.unit.sheet import statuses as sheet_statuses
from prep.record.unit.state import Record


@dataclass(frozen=True)
class Reason:
    """One reason a unit is not ready: stable code, plain words, and the step or flag to go to.

    The words of a flag follow from what it is `about`.
    """

    code: str
    text: str
    step: str = ""
    flag: str = ""
    about: FlagFacts | None = None


@dataclass(frozen=True)
class Readiness:
    """Whether a unit is ready, and why not.

    `stock` holds the reasons it is not ready for stock, `buyer` the further reasons it is not ready
    for its buyer.
    """

    stock: tuple[Reason, ...]
    buyer: tuple[Reason, ...]
    has_buyer: bool

    @property
    def ready_for_stock(self) -> bool:
        """Prepared as far as it can be without knowing the tractor."""
        return not self.stock

    @property
    def ready_for_buyer(self) -> bool:
        """Prepared and matched to the assigned buyer's tractor."""
        return self.has_buyer and not self.stock and not self.buyer

    @property
    def reasons(self) -> tuple[Reason, ...]:
        """All reasons, for stock and for the buyer."""
        return self.stock + self.buyer

    @property
    def answer(self) -> str:
        """The answer in a few words."""
        if self.ready_for_buyer:
            return "ready for this buyer"
        return "ready for stock" if self.ready_for_stock else "not ready"


def readiness(record: Record) -> Readiness:
    """Readiness of a unit from its record alone."""
    stock = [*_before_the_sheet(record), *_flags(record), *_steps(record, tractor=False)]
    buyer = _steps(record, tractor=True) if record.buyer else []
    return Readiness(tuple(stock), tuple(buyer), record.buyer is not None)


def _before_the_sheet(record: Record) -> list[Reason]:
    reasons = []
    if record.held:
        reasons.append(Reason("on-hold", f"On hold: {record.held[0]}"))
    if record.model is None:
        reasons.append(Reason("no-model", "No model is assigned yet."))
    elif record.procedure is None:
        reasons.append(Reason("no-sheet", "Preparation has not been started."))
    for shortage in record.shortages.values():
        if shortage.arrived is None and shortage.event.stops_release:
            due = f", expected {shortage.event.expected}" if shortage.event.expected else ""
            many = f"{shortage.event.count} × " if shortage.event.count != 1 else ""
            reasons.append(Reason("shortage", f"Missing: {many}{shortage.event.part}{due}."))
    return reasons


def _flags(record: Record) -> list[Reason]:
    return [
        Reason("flag-open", "", flag.box[0], flag.id, flag.about) for flag in record.open_flags()
    ]


def _steps(record: Record, *, tractor: bool) -> list[Reason]:
    assert record.procedure is not None or record.sheet is None
    status_of = sheet_statuses(record)
    reasons = []
    for step, status in unfinished(record, tractor_steps=tractor):
        if status is Status.FLAGGED:
            continue  # its flag is a reason already, and says more
        if status is Status.AWAITS_STEP and record.procedure:
            titles = [record.procedure.steps[code].title for code in waits_for(step, status_of)]
            text = f"{step.title}: waits for {', '.join(titles)}."
        elif status is Status.BEGUN:
            left = [box_name(step, (step.step, *box)) for box in open_boxes(record, step)]
            text = f"{step.title}: still open: {', '.join(left)}."
        else:
            text = f"{step.title}: {status.value}."
        reasons.append(Reason("step-open", text, step=step.step))
    return reasons
