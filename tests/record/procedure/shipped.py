"""The shipped documents, loaded once, and a technician who fills in a sheet by commands.

Nothing here touches a database: events are decided and folded, as the record does everywhere.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from pathlib import Path
from typing import Any, Final
from uuid import UUID

import msgspec

from prep.record.command import Command, Facts
from prep.record.documents.typed import sound_document
from prep.record.facts import (
    BuyerRef,
    InstrumentFacts,
    ManufacturerFacts,
    ModelDocument,
    ModelFacts,
    TractorFacts,
    Wording,
)
from prep.record.instrument.known import KnownInstrument
from prep.record.needs import DECIMAL_COMMA, WORDING, ZONE, Picture, Plates
from prep.record.procedure.checks.known import Known, PublishedModels
from prep.record.procedure.document import Procedure, Step
from prep.record.procedure.line import Line, Takes
from prep.record.procedure.needs import PinnedProcedure
from prep.record.procedure.reading import load_procedure
from prep.record.refusal import Refusal
from prep.record.roles import Actor, Context, Role
from prep.record.unit.commands.buyers import AssignBuyer
from prep.record.unit.commands.entries import CheckSetting, CompleteCheck, TakeReading
from prep.record.unit.commands.photos import AttachPhoto
from prep.record.unit.commands.receiving import ReceiveUnit
from prep.record.unit.commands.sheets import StartSheet
from prep.record.unit.commands.steps import AcknowledgeCautions, CheckStep, SignStep
from prep.record.unit.events import Judged, UnitEvent
from prep.record.unit.fold import evolve
from prep.record.unit.limits import count_of, expected, freeze, interval_of
from prep.record.unit.sheet import Status, content_digest, statuses
from prep.record.unit.state import Record, Stamp
from prep.rules.quantities.quantity import canonical, decimal_text

FIXTURES: Final = Path(__file__).parents[3] / "fixtures"
TODAY: Final = datetime(2026, 11, 2, 8, 0, tzinfo=UTC)


def _documents(folder: str, sort: str) -> dict[str, ModelDocument]:
    documents = {}
    for path in sorted((FIXTURES / folder).glob("*.yaml")):
        document = sound_document(path.read_text(), ModelDocument)
        assert document.sort == sort
        documents[document.model] = document
    return documents


MODELS: Final = _documents("models", "machine")
TRACTORS: Final = _documents("models/tractors", "tractor")
ALL: Final = {**MODELS, **TRACTORS}
MAKERS: Final = {code: ManufacturerFacts(d.maker, d.maker) for code, d in ALL.items()}
MODEL_FACTS: Final[dict[str, ModelFacts]] = {c: d.facts(MAKERS[c]) for c, d in MODELS.items()}
TRACTOR_FACTS: Final = {code: TractorFacts(code, d.name, d.data) for code, d in TRACTORS.items()}

PROCEDURE_FILES: Final = sorted((FIXTURES / "procedures").glob("*.yaml"))
LOADED: Final = {path.stem: load_procedure(path.read_text()) for path in PROCEDURE_FILES}
PROCEDURES: Final[dict[str, Procedure]] = {name: loaded[0] for name, loaded in LOADED.items()}
DIGESTS: Final = {name: loaded[2] for name, loaded in LOADED.items()}

INSTRUMENTS: Final = sound_document(
    (FIXTURES / "instruments.yaml").read_text(), list[dict[str, str]]
)
_KINDS = {row["kind"] for row in INSTRUMENTS}
KNOWN: Final = Known(
    PublishedModels(
        MODEL_FACTS,
        {code: d.facts(MAKERS[code]) for code, d in TRACTORS.items()},
        tuple(MODEL_FACTS),
    ),
    {
        kind: frozenset(row["quantity"] for row in INSTRUMENTS if row["kind"] == kind)
        for kind in sorted(_KINDS)
    },
    makers=tuple(MAKERS.values()),
)

SERIALS: Final = {
    "LF-RC15": "RC1520261230047",
    "LF-RC20": "RC2020261230012",
    "HM-C10": "C10-20260412-0031",
    "HM-C6": "C6-20260412-0008",
}

# What a technician might read where no limit says what is right.
FREE_READINGS: Final = {
    "temperature": "20 °C",
    "length": "5 in",
    "mass": "40 lb",
    "speed": "60 m/s",
}


def instruments(site: str) -> list[InstrumentFacts]:
    """Instruments of one yard."""
    return [
        msgspec.convert({k: value for k, value in row.items() if k != "site"}, InstrumentFacts)
        for row in INSTRUMENTS
        if row["site"] == site
    ]


def person(name: str, *roles: Role) -> Actor:
    """An invented actor with these roles."""
    return Actor(name.lower(), name, frozenset(roles))


TECHNICIAN: Final = person("Ada", Role.TECHNICIAN, Role.SERVICE_MANAGER)
SECOND: Final = person("Ben", Role.TECHNICIAN)
SALES: Final = person("Sol", Role.SALES)


@dataclass
class Hand:
    """Fills in one unit's sheet; a refusal is raised to the test."""

    record: Record
    site: str = "north"
    moment: datetime = TODAY
    commands: int = 0
    tools: list[InstrumentFacts] = field(default_factory=list)

    def do(self, command: Command, actor: Actor = TECHNICIAN, **facts: Any) -> Sequence[UnitEvent]:
        """Carry out one command, a minute after the last, and fold its events.

        `facts` are those the command needs, with `_` for what is no letter.
        """
        self.commands += 1
        self.moment += timedelta(minutes=1)
        context = Context(actor, self.moment, self.moment, UUID(int=self.commands))
        stamp = Stamp(actor.id, actor.name, self.moment, self.moment, self.record.version + 1)
        known: dict[str, Any] = dict.fromkeys((need.name for need in command.needs), None)
        known |= {WORDING.name: Wording("en", "0" * 64), ZONE.name: UTC}
        known |= {DECIMAL_COMMA.name: False}  # 32.512 mm is no 32 meters
        named = {need: facts[key] for need in known if (key := re.sub(r"\W", "_", need)) in facts}
        command.guard(self.record, context)
        events: Sequence[Any] = command.decide(self.record, context, Facts({**known, **named}))
        for event in events:
            evolve(self.record, stamp, event)
        return events

    def do_step(self, step: Step) -> None:
        """Do a step from cautions to last signature, with readings in the middle of the limit."""
        if step.cautions:
            self.do(AcknowledgeCautions(step=step.step))
        for line in step.lines:
            for position in line.boxes:
                self.answer(step, line, position)
        seen = content_digest(self.record, step)
        self.do(SignStep(step=step.step, seen=seen, pin=""))
        if step.second_person:
            seen = content_digest(self.record, step)
            self.do(CheckStep(step=step.step, seen=seen, pin=""), SECOND)

    def answer(self, step: Step, line: Line, position: str) -> None:
        """One box: a picture where one is asked, and yes, a choice or a reading."""
        at: dict[str, Any] = {"step": step.step, "line": line.line, "position": position}
        if line.photo:
            picture = Picture("p", "0" * 64, "p.jpg", 1, "1" * 64, "2" * 64)
            self.do(AttachPhoto(**at), picture=picture)
        if line.takes is Takes.CHECK:
            self.do(CompleteCheck(answer=True, **at))
            return
        self.take(step, line, position, self.middle(line, position))

    def take(self, step: Step, line: Line, position: str, text: str) -> None:
        """A reading or a setting, with whichever tool in date has the range for it."""
        at: dict[str, Any] = {"step": step.step, "line": line.line, "position": position}
        take: type[TakeReading | CheckSetting] = TakeReading
        if line.setting:
            count = count_of(self.record, line.setting.fasteners, position)
            at |= {"checked": count, "moved": 0 if line.setting.may_move == 0 else count}
            take = CheckSetting
        else:
            at |= {"confirmed": True}  # where others contradict it, whoever reads it stands by it
        if line.instrument is None:
            self.do(TakeReading(text=text, **at))
            return
        kinds = [tool for tool in self.tools if tool.kind == line.instrument.kind]
        for tool in kinds:
            try:
                self.do(
                    take(text=text, instrument=tool.code, **at),
                    instrument=KnownInstrument(tool),
                )
                return
            except Refusal as no:
                if no.code not in {"instrument-out-of-range", "instrument-overdue"}:
                    raise
        raise AssertionError(f"{step.step}.{line.line}: no {line.instrument.kind} for {text}")

    def middle(self, line: Line, position: str) -> str:
        """A reading well inside the limit, as typed: the one that others imply, where it is."""
        limit = freeze(self.record, line, position)
        if implied := expected(self.record, line, position):
            value, interval = implied[0].canonical(), interval_of(limit) if limit else None
            if interval is None or value in interval:
                return f"{decimal_text(value, 6)} {canonical(line.quantity).symbol}"
        if line.choices:
            return limit.one_of[0] if limit else line.choices[0]
        if limit is None:
            return FREE_READINGS[line.quantity]
        low, high = (Fraction(end) if end else None for end in (limit.low, limit.high))
        if low is None:
            assert high is not None  # a limit of a quantity has an end
            value = high * Fraction(9, 10)
        else:
            value = low * Fraction(11, 10) if high is None else (low + high) / 2
        if line.quantity == "count":
            value = Fraction(round(value))
        return f"{decimal_text(value, 6)} {canonical(line.quantity).symbol}"

    def work_all(self, *, tractor_steps: bool, until: str = "") -> None:
        """Do the steps that apply, in sheet order, up to but without the step `until`."""
        assert self.record.procedure is not None
        for code, step in self.record.procedure.steps.items():
            if code == until:
                return
            open_to_work = statuses(self.record)[code] is Status.TO_DO
            if step.needs_tractor == tractor_steps and open_to_work:
                self.do_step(step)

    def work_until(self, step: str, line: str) -> Step:
        """All that comes before a line, cautions of its step read; gives the step."""
        assert self.record.procedure is not None
        wanted = self.record.procedure.steps[step]
        self.work_all(tractor_steps=False, until=step)
        if wanted.needs_tractor:
            self.work_all(tractor_steps=True, until=step)
        if wanted.cautions:
            self.do(AcknowledgeCautions(step=step))
        for other in wanted.lines:
            if other.line == line:
                break
            for position in other.boxes:
                self.answer(wanted, other, position)
        return wanted

    def verdict(self, step: str, line: str, position: str = "") -> str:
        """Verdict on the reading that stands in a box."""
        current = self.record.boxes[step, line, position].current
        assert current is not None
        assert isinstance(current.event, Judged)
        return current.event.verdict


def started(model: str, procedure: str, options: tuple[str, ...] = (), site: str = "north") -> Hand:
    """A received unit of a model with its sheet started."""
    library = {DIGESTS[name]: loaded for name, loaded in PROCEDURES.items()}
    hand = Hand(Record(library), site, tools=instruments(site))
    facts = MODEL_FACTS[model]
    receive = ReceiveUnit(
        site=site, maker=facts.maker, serial=SERIALS[model], model=model, options=options
    )
    hand.do(
        receive, maker=MAKERS[model], model=facts, plates=Plates(None, ()), first_of_shipment=True
    )
    hand.do(StartSheet(), procedure_in_force=pinned(procedure))
    return hand


def pinned(procedure: str) -> PinnedProcedure:
    """A shipped procedure as a command pins it."""
    return PinnedProcedure(PROCEDURES[procedure], DIGESTS[procedure])


def meant_for(hand: Hand, tractor: str) -> Hand:
    """The same unit, assigned to a buyer with a tractor."""
    buyer = BuyerRef("buyer-1", "0" * 64)
    sale = AssignBuyer(buyer=UUID(int=1), tractor=tractor)
    hand.do(sale, SALES, buyer=buyer, tractor=TRACTOR_FACTS[tractor])
    return hand
