"""A simulated technician, who fills in sheets with conforming values by the service's actions."""

import struct
import zlib
from fractions import Fraction
from random import Random
from typing import Any
from uuid import UUID

from prep.actions.perform import perform
from prep.management.demo.dealership import PIN, Crew
from prep.models import Person
from prep.queries.instruments import instruments_at
from prep.queries.records import record_of
from prep.record.facts import InstrumentFacts
from prep.record.instrument.fitness import expanded_uncertainty, in_usable_range
from prep.record.procedure.document import Step
from prep.record.procedure.line import Line
from prep.record.unit.commands.entries import CheckSetting, CompleteCheck, TakeReading
from prep.record.unit.commands.photos import AttachPhoto
from prep.record.unit.commands.steps import AcknowledgeCautions, CheckStep, SignStep
from prep.record.unit.frozen_limit import FrozenLimit
from prep.record.unit.limits import count_of, expected, freeze
from prep.record.unit.sheet import Status, content_digest, open_boxes, statuses
from prep.record.unit.state import Record
from prep.rules.quantities.quantity import Measured, canonical, show, unit

# Typical values for readings without a limit. Other values are chosen inside their limit.
TYPICAL = {
    "temperature": "18 °C",
    "pressure": "35 psi",
    "length": "12 in",
    "count": "1",
    "volume": "1 US gal",
    "rotation": "540 rpm",
    "torque": "100 ft·lbf",
    "mass": "24 lb",
    "speed": "5 mph",
    "power": "100 hp",
    "angle": "1 °",
}
TYPED_UNIT = {
    "torque": "ft·lbf",
    "length": "in",
    "pressure": "psi",
    "volume": "US fl oz",
    "mass": "lb",
    "temperature": "°C",
    "power": "hp",
    "speed": "mph",
}


class SimulatedTechnician:
    """Fills in the sheets of one site's units. `random` varies the values, the same in each run."""

    def __init__(self, crew: Crew, site: str, random: Random) -> None:
        self.crew = crew
        self.random = random
        self.instruments = instruments_at(site)

    def do_steps(self, unit: UUID, count: int = 1000) -> Record:
        """Do at most `count` steps of a unit, in order; returns the record afterward."""
        record = record_of(unit)
        for _ in range(count):
            step = next_open_step(record)
            if step is None:
                break
            record = self._step(unit, record, step)
        return record

    def _step(self, unit: UUID, record: Record, step: Step) -> Record:
        record = self.fill(unit, record, step)
        seen = content_digest(record, step)
        signing: dict[str, Any] = {"step": step.step, "seen": seen, "pin": PIN}
        who = self._signer(step)
        record = perform(SignStep(**signing), actor=who, target=unit).record
        if step.second_person:
            checked = perform(CheckStep(**signing), actor=self.crew.second, target=unit)
            record = checked.record
        return record

    def fill(self, unit: UUID, record: Record, step: Step) -> Record:
        """Acknowledge the cautions and answer each open box of a step, without signing."""
        who = self._signer(step)
        if step.cautions and str(who.pk) not in record.step_state(step.step).acknowledged:
            read = perform(AcknowledgeCautions(step=step.step), actor=who, target=unit)
            record = read.record
        for line, position in open_boxes(record, step):
            record = self._answer_box(unit, record, who, step, step.by_line[line], position)
        return record

    def _signer(self, step: Step) -> Person:
        return self.crew.technician if "technician" in step.who else self.crew.manager

    def _answer_box(
        self, unit: UUID, record: Record, who: Person, step: Step, line: Line, position: str
    ) -> Record:
        where: dict[str, Any] = {
            "step": step.step,
            "line": line.line,
            "position": position,
        }
        if line.photo:
            picture = plain_picture(self.random.randrange(256))
            photo = AttachPhoto(note="invented", **where)
            perform(photo, actor=who, target=unit, attachment=picture)
        if not (line.quantity or line.choices):
            return perform(CompleteCheck(answer=True, **where), actor=who, target=unit).record
        text, instrument = self.answer(
            line, freeze(record, line, position), expected(record, line, position)
        )
        if line.setting:
            count = count_of(record, line.setting.fasteners, position)
            setting = CheckSetting(
                text=text,
                instrument=instrument,
                checked=count,
                moved=0 if line.setting.may_move == 0 else count,
                **where,
            )
            return perform(setting, actor=who, target=unit).record
        reading = TakeReading(text=text, instrument=instrument, **where)
        return perform(reading, actor=who, target=unit).record

    def answer(
        self,
        line: Line,
        limit: FrozenLimit | None,
        implied: tuple[Measured, Fraction] | None = None,
    ) -> tuple[str, str]:
        """A value well inside the limit, as typed, and the instrument it is read with.

        Where other values imply one, it is that.
        """
        if line.choices:
            accepted = limit.one_of if limit else line.choices
            return self.random.choice(accepted), ""
        if implied:
            value = implied[0].canonical()
        elif limit:
            value = self._inside(limit)
        else:
            return TYPICAL[line.quantity], self._instrument(line, None)
        if limit and (line.setting or line.extremes):
            # Nobody sets a wrench to a tenth or anew at each wheel, or reads the highest below the
            # lowest.
            value = _middle(limit)
        return _typed(value, line.quantity), self._instrument(line, value)

    def _inside(self, limit: FrozenLimit) -> Fraction:
        low = Fraction(limit.low) if limit.low else None
        high = Fraction(limit.high) if limit.high else None
        if low is None:
            assert high is not None
            return high * Fraction(self.random.randint(50, 80), 100)
        if high is None:
            return low * Fraction(self.random.randint(110, 130), 100)
        return low + (high - low) * Fraction(self.random.randint(42, 58), 100)

    def _instrument(self, line: Line, value: Fraction | None) -> str:
        if line.instrument is None:
            return ""
        fit = [
            facts
            for facts in self.instruments
            if facts.kind == line.instrument.kind
            and not facts.name.startswith("Old")
            and _covers(facts, value)
        ]
        best = min(fit, key=lambda facts: _uncertainty(facts, value))
        return best.code


def _middle(limit: FrozenLimit) -> Fraction:
    """The middle of a limit, or its only end."""
    ends = [Fraction(end) for end in (limit.low, limit.high) if end]
    return sum(ends, Fraction(0)) / len(ends)


def _covers(facts: InstrumentFacts, value: Fraction | None) -> bool:
    measured = Measured(value or Fraction(18), canonical(facts.quantity))
    return in_usable_range(facts, measured)


def _uncertainty(facts: InstrumentFacts, value: Fraction | None) -> Fraction:
    return expanded_uncertainty(facts, value or Fraction(18))


def _typed(value: Fraction, quantity: str) -> str:
    """A canonical value as a technician would type it, precise enough to stay in the limit."""
    typed_unit = unit(TYPED_UNIT.get(quantity, canonical(quantity).symbol))
    measured = Measured(value, canonical(quantity)).in_unit(typed_unit)
    if quantity == "count":
        return show(measured, typed_unit, Fraction(1))
    resolution = Fraction(1, 64) if typed_unit.symbol == "in" else Fraction(1, 10)
    return show(measured, typed_unit, resolution if measured >= 1 else Fraction(1, 1000))


def next_open_step(record: Record) -> Step | None:
    """The first step that is open for entries or a signature."""
    assert record.procedure is not None
    open_now = {Status.TO_DO, Status.BEGUN, Status.TO_SIGN}
    for code, status in statuses(record).items():
        if status in open_now:
            return record.procedure.steps[code]
    return None


def plain_picture(shade: int) -> bytes:
    """A small gray PNG, so that the photo store has a real file to keep."""
    width, height = 320, 240
    row = b"\0" + bytes((shade + x) % 256 for x in range(width))
    parts = [
        (b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)),
        (b"IDAT", zlib.compress(row * height, 9)),
        (b"IEND", b""),
    ]
    chunks = [
        struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        for kind, data in parts
    ]
    return b"\x89PNG\r\n\x1a\n" + b"".join(chunks)
