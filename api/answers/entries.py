"""Entries, limits and flags of a sheet, as the API shows them."""

from dataclasses import asdict
from datetime import datetime
from typing import Any

import msgspec

from prep.record.facts import InstrumentFacts, Paper
from prep.record.procedure.line import Takes
from prep.record.unit.entries.flags import REFUSED
from prep.record.unit.events import ReadingTaken
from prep.record.unit.frozen_limit import FrozenLimit, StatedLimit
from prep.record.unit.remark import Remark
from prep.record.unit.state import BoxKey, Entry, Flag, Record, Stamp
from prep.record.unit.views.advice import advise
from prep.record.unit.views.entry_view import entry_view
from prep.rules.conformity.judgment import Verdict
from prep.words import verdicts
from prep.words.reader import Reader
from prep.words.reading_advice import advised
from prep.words.unit.flags import closing_text, flag_text
from prep.words.unit.limits import ShownComputation, computation, limit_text
from prep.words.unit.remarks import remark_texts

ADVISED = {verdict.value for verdict in (*REFUSED, Verdict.CONFORMING_GUARD)}


class NamedAuthor(msgspec.Struct, frozen=True, kw_only=True):
    """Whom a device named as the author: id and printed name."""

    person: str
    name: str


class Signed(msgspec.Struct, frozen=True, kw_only=True):
    """Who did something, when by the device and when by the server; the version it made.

    `named` is whom the device named as the author, null where that is the person themselves.
    """

    person: str
    name: str
    happened: datetime
    recorded: datetime
    version: int
    named: NamedAuthor | None


class ShownAdvice(msgspec.Struct, frozen=True, kw_only=True):
    """What to turn, add or move, in the typed unit; `computed` names rule, inputs and source."""

    text: str
    computed: ShownComputation | None


class VerdictWords(msgspec.Struct, frozen=True, kw_only=True):
    """A verdict as pages and documents show it: its word, its mark, and what it means."""

    word: str
    mark: str
    explanation: str


class ShownLimit(msgspec.Struct, frozen=True, kw_only=True):
    """A limit: `stated` in words, in the unit it is stated in; `low` and `high` in the record's.

    `as_stated` has the same values as data, `computed` the rule by which it was computed.
    """

    stated: str
    as_stated: StatedLimit
    source: str
    basis: str
    low: str
    high: str
    quantity: str
    one_of: tuple[str, ...]
    decision: str
    guard: str
    computed: ShownComputation | None


class ShownSetting(msgspec.Struct, frozen=True, kw_only=True):
    """What a tool was set to, and the fasteners gone over with it.

    `value` and `unit` are as typed, `canonical` the same in the unit of the record. `moved` of the
    `checked` turned before the tool clicked; there are `fasteners` in all.
    """

    value: str
    unit: str
    canonical: str
    canonical_unit: str
    fasteners: int
    checked: int
    moved: int


class ShownEntry(msgspec.Struct, frozen=True, kw_only=True):
    """An answer in a box. `raw` is exactly what was typed, or `yes` or `no`.

    `verdict` is `conforming`, `conforming-guarded`, `nonconforming-guarded`, `nonconforming`,
    `no-limit` or `not-measured`; of a check it is `answered-yes` or `answered-no`; of a tool's
    setting `setting-in-limit`, `setting-near-limit`, `setting-out-of-limit`,
    `setting-without-limit`, `fasteners-moved` or `fasteners-left-out`. A `setting` was measured by
    nobody, so `typed` and `canonical` are empty beside it.
    `typed` is the value as read, in the typed unit; `canonical` is the same value in the unit of
    the record, as decimal text. Both are empty where the entry is not a measurement; `because` says
    why nothing was measured. `unit_chosen` is the unit chosen beside the text. For an entry
    copied from a sheet filled in by hand, `paper` names the writer and `by` the copier: written at
    `by.happened`, copied at `by.recorded`. `named_by_device` says that `by` sent it for
    `by.named`, who has not signed the step yet: then it counts as theirs.
    """

    id: str
    kind: Takes
    raw: str
    verdict: str
    verdict_words: VerdictWords
    typed: str
    also: str
    choice: str
    setting: ShownSetting | None
    quantity: str
    canonical: str
    canonical_unit: str
    unit_chosen: str
    because: str
    limit: ShownLimit | None
    instrument: InstrumentFacts | None
    expanded_uncertainty: str
    uncertainty_low: str
    uncertainty_high: str
    probability: str
    remarks: tuple[str, ...]
    remark_facts: tuple[Remark, ...]
    note: str
    supersedes: str
    reason: str
    copied_from_paper: bool
    paper: Paper | None
    named_by_device: bool
    by: Signed


class ShownFlag(msgspec.Struct, frozen=True, kw_only=True):
    """A nonconformity: open until a conforming entry, a fix or a concession closes it.

    `closed_how` is `fixed`, `conforming-entry`, `superseded` or `concession`.
    """

    id: str
    origin: str
    text: str
    open: bool
    step: str
    line: str
    position: str
    reading: str
    raised: Signed
    closed: Signed | None
    closed_how: str
    closing_text: str
    concession: str


def signed(stamp: Stamp) -> Signed:
    """A stamp as the API shows it."""
    named = stamp.named
    return Signed(
        person=stamp.actor,
        name=stamp.name,
        happened=stamp.happened,
        recorded=stamp.recorded,
        version=stamp.version,
        named=NamedAuthor(person=named.id, name=named.name) if named else None,
    )


def shown_entry(entry: Entry, reader: Reader) -> ShownEntry:
    """An entry as the API shows it."""
    view = entry_view(entry)
    words = _verdict(view.verdict, reader)
    made: dict[str, Any] = {
        "by": signed(view.stamp),
        "verdict_words": words,
        "limit": shown_limit(view.limit, reader) if view.limit else None,
        "remarks": remark_texts(view.remarks, reader),
        "remark_facts": view.remarks,
        "named_by_device": bool(view.named),
    }
    setting = msgspec.convert(asdict(view.setting), ShownSetting) if view.setting else None
    made["setting"] = setting
    same = {name: getattr(view, name) for name in ShownEntry.__struct_fields__ if name not in made}
    return ShownEntry(**same, **made)


def shown_limit(limit: FrozenLimit, reader: Reader) -> ShownLimit:
    """A limit as the API shows it."""
    return ShownLimit(
        stated=limit_text(limit, reader),
        as_stated=limit.stated,
        source=limit.source,
        basis=limit.basis,
        low=limit.low,
        high=limit.high,
        quantity=limit.quantity,
        one_of=limit.one_of,
        decision=limit.decision,
        guard=limit.guard,
        computed=computation(limit.computed, reader) if limit.computed else None,
    )


def _verdict(verdict: str, reader: Reader) -> VerdictWords:
    return VerdictWords(
        word=verdicts.word(verdict, reader),
        mark=verdicts.mark(verdict),
        explanation=verdicts.explanation(verdict, reader),
    )


def shown_flag(flag: Flag, reader: Reader) -> ShownFlag:
    """A flag as the API shows it."""
    step, line, position = (*flag.box, "", "")[:3]
    return ShownFlag(
        id=flag.id,
        origin=flag.about.origin,
        text=flag_text(flag.about, reader),
        open=flag.open,
        step=step,
        line=line,
        position=position,
        reading=flag.reading,
        raised=signed(flag.stamp),
        closed=signed(flag.closed) if flag.closed else None,
        closed_how=flag.closed_how.value if flag.closed_how else "",
        closing_text=closing_text(flag, reader),
        concession=flag.concession.reason if flag.concession else "",
    )


def advice_on(record: Record, key: BoxKey, reader: Reader) -> ShownAdvice | None:
    """What to do about the current entry of a box; None where it plainly conforms."""
    box = record.boxes.get(key)
    event = box.current.event if box and box.current else None
    if not isinstance(event, ReadingTaken) or event.verdict not in ADVISED:
        return None
    given = advise(record, key)
    if given is None:
        return None
    computed = computation(given.computed, reader) if given.computed else None
    return ShownAdvice(text=advised(given, reader), computed=computed)
