"""A unit's sheet as the API shows it: sections, steps, lines, boxes, and every entry made."""

from collections import defaultdict
from uuid import UUID

import msgspec

from api.answers.entries import (
    ShownAdvice,
    ShownEntry,
    ShownFlag,
    ShownLimit,
    Signed,
    advice_on,
    shown_entry,
    shown_flag,
    shown_limit,
    signed,
)
from api.answers.past import ShownPast
from prep.record.procedure.document import Consumable, Procedure, Section, Step
from prep.record.procedure.line import Extremes, InstrumentNeed, Line, Schematic, Takes
from prep.record.refusal import Refusal
from prep.record.unit.commands.releases import sheet_digest
from prep.record.unit.events import PhotoAttached
from prep.record.unit.limits import count_of, freeze
from prep.record.unit.sheet import Status, asked_of_unit, cautions_of, content_digest, statuses
from prep.record.unit.stands_for import Item, Kind, stands_for
from prep.record.unit.state import Box, BoxKey, Record, Signature, Stamp
from prep.words.reader import Reader
from prep.words.refusals import refusal_text
from prep.words.unit.signatures import meaning
from prep.words.unit.stands_for import shown_item


class ShownCaution(msgspec.Struct, frozen=True, kw_only=True):
    """A hazard text to read before starting the step."""

    caution: str
    severity: str
    text: str


class ShownPhoto(msgspec.Struct, frozen=True, kw_only=True):
    """A photo, with the digests the log keeps: of its file, of what was sent, of a small copy.

    One that shows `people` is personal.
    """

    photo: str
    line: str
    position: str
    digest: str
    sent: str
    small: str
    bytes: int
    note: str
    people: bool
    erased: bool
    taken: Signed


class ShownPaperSheet(msgspec.Struct, frozen=True, kw_only=True):
    """A photo of a sheet filled in by hand, from which entries are copied."""

    photo: str
    digest: str
    sent: str
    small: str
    bytes: int
    mark: str
    note: str
    taken: Signed


class ShownBox(msgspec.Struct, frozen=True, kw_only=True):
    """One box to answer.

    `limit` is what an entry made now would be held against; where it is not known yet,
    `limit_waits` tells what is needed first. `superseded` are the earlier entries, oldest first;
    `stale` means that the last of them does not count because the step was reopened.
    """

    position: str
    limit: ShownLimit | None
    limit_waits: str
    entry: ShownEntry | None
    superseded: list[ShownEntry]
    stale: bool
    advice: ShownAdvice | None
    flag: str


class ShownLine(msgspec.Struct, frozen=True, kw_only=True):
    """A question of a step and its boxes: a reading, a choice, a check, or a tool's setting.

    A line that takes a `setting` asks about so many `fasteners`, of which no more than `may_move`
    may turn before the tool clicks; null for a number that is not known yet, or not limited. One
    that is not `asked_of` `every-unit` is of the `first-of-shipment`, or of a `suspected-fault`; it
    may stay empty unless it is `asked` of this unit. Of many places that were measured, `extremes`
    names the box for the lowest and the one for the highest. `schematic` says where the positions
    are in a view of the machine, each as per cent across and down from its upper left corner.
    """

    line: str
    ask: str
    takes: Takes
    quantity: str
    choices: tuple[str, ...]
    fasteners: int | None
    may_move: int | None
    asked_of: str
    asked: bool
    extremes: Extremes | None
    schematic: Schematic | None
    instrument: InstrumentNeed | None
    photo: bool
    after: tuple[str, ...]
    boxes: list[ShownBox]


class ShownSignature(msgspec.Struct, frozen=True, kw_only=True):
    """A sign-off over content; one from before the step was reopened no longer stands.

    `token` is `prepared` or `second-person`, `meaning` the words for it.
    """

    token: str
    meaning: str
    content: str
    stands: bool
    signed: Signed


class ShownStep(msgspec.Struct, frozen=True, kw_only=True):
    """A step. `seen` is the digest of its content, which a sign-off names."""

    step: str
    title: str
    kind: str
    do: str
    status: Status
    skipped: str
    seen: str
    who: tuple[str, ...]
    after: tuple[str, ...]
    needs_tractor: bool
    second_person: bool
    skip: str
    minutes: int
    consumables: tuple[Consumable, ...]
    cautions: list[ShownCaution]
    acknowledged_by: list[str]
    signatures: list[ShownSignature]
    photos: list[ShownPhoto]
    lines: list[ShownLine]


class ShownSection(msgspec.Struct, frozen=True, kw_only=True):
    """A section: steps that belong together."""

    section: str
    title: str
    steps: list[ShownStep]


class ShownStandsFor(msgspec.Struct, frozen=True, kw_only=True):
    """One thing a release would stand for: its kind, its box, and the event that made it so.

    `title` is the kind in words, `where` the place, `text` what it is. `version` is 0 where no
    single event made it so.
    """

    kind: Kind
    step: str
    line: str
    position: str
    version: int
    title: str
    where: str
    text: str


class ShownSheet(msgspec.Struct, frozen=True, kw_only=True):
    """The sheet: a procedure revision as carried out on one unit.

    A release names `seen`, the digest of the sheet with what it `stands_for`: show that before it
    is signed. A release of a sheet that changed since is refused.

    `notice` is the procedure's text on what takes precedence over it: the manufacturer's manual for
    the exact serial number, local codes, and licensed or trained practice.
    """

    unit: UUID
    version: int
    procedure: str
    revision: int
    digest: str
    title: str
    manual: str
    notice: str
    seen: str
    stands_for: list[ShownStandsFor]
    sections: list[ShownSection]
    paper_sheets: list[ShownPaperSheet]
    flags: list[ShownFlag]
    as_of: ShownPast | None


def shown_sheet(
    unit: UUID, record: Record, reader: Reader, past: ShownPast | None = None
) -> ShownSheet:
    """The sheet of a record; Refusal where it is not started."""
    if record.procedure is None or record.sheet is None:
        raise Refusal("no-sheet")
    whole = _Sheet(record, record.procedure, reader)
    return ShownSheet(
        unit=unit,
        version=record.version,
        procedure=record.procedure.procedure,
        revision=record.procedure.revision,
        digest=record.sheet.digest,
        title=record.procedure.title,
        manual=record.procedure.manual,
        notice=record.procedure.note,
        seen=sheet_digest(record),
        stands_for=[_stands_for(item, record, reader) for item in stands_for(record)],
        sections=[whole.section(section) for section in record.procedure.sections],
        paper_sheets=[
            _paper_sheet(event, stamp) for event, stamp in record.photos if event.of_paper
        ],
        flags=[shown_flag(flag, reader) for flag in record.open_flags()],
        as_of=past,
    )


def _stands_for(item: Item, record: Record, reader: Reader) -> ShownStandsFor:
    shown = shown_item(item, record, reader)
    step, line, position = item.box
    return ShownStandsFor(
        kind=item.kind,
        step=step,
        line=line,
        position=position,
        version=item.version,
        title=shown.title,
        where=shown.where,
        text=shown.text,
    )


def _paper_sheet(event: PhotoAttached, stamp: Stamp) -> ShownPaperSheet:
    return ShownPaperSheet(
        photo=event.photo,
        digest=event.digest,
        sent=event.sent,
        small=event.small,
        bytes=event.bytes,
        mark=event.mark,
        note=event.note,
        taken=signed(stamp),
    )


class _Sheet:
    """Builder of the sheet's parts from one record."""

    def __init__(self, record: Record, procedure: Procedure, reader: Reader) -> None:
        self.record = record
        self.reader = reader
        self.procedure = procedure
        self.statuses = statuses(record)
        self.photos: dict[str, list[ShownPhoto]] = defaultdict(list)
        for event, stamp in record.photos:
            self.photos[event.step].append(
                ShownPhoto(
                    photo=event.photo,
                    line=event.line,
                    position=event.position,
                    digest=event.digest,
                    sent=event.sent,
                    small=event.small,
                    bytes=event.bytes,
                    note=event.note,
                    people=event.people,
                    erased=event.photo in record.erased_photos,
                    taken=signed(stamp),
                )
            )

    def section(self, section: Section) -> ShownSection:
        """A section with its steps."""
        return ShownSection(
            section=section.section,
            title=section.title,
            steps=[self.step(step) for step in section.steps],
        )

    def step(self, step: Step) -> ShownStep:
        """A step with its lines, photos and signatures."""
        state = self.record.steps.get(step.step)
        return ShownStep(
            step=step.step,
            title=step.title,
            kind=step.kind,
            do=step.do,
            status=self.statuses[step.step],
            skipped=state.skipped if state else "",
            seen=content_digest(self.record, step),
            who=step.who,
            after=step.after,
            needs_tractor=step.needs_tractor,
            second_person=step.second_person,
            skip=step.skip,
            minutes=step.minutes,
            consumables=step.consumables,
            cautions=[
                ShownCaution(caution=code, severity=caution.severity, text=caution.text)
                for code, caution in cautions_of(self.record, step).items()
            ],
            acknowledged_by=sorted(state.acknowledged) if state else [],
            signatures=self._signatures(step),
            photos=self.photos[step.step],
            lines=[self.line(step, line) for line in step.lines],
        )

    def _signatures(self, step: Step) -> list[ShownSignature]:
        state = self.record.steps.get(step.step)
        if state is None:
            return []
        past = [self._signature(signature, stands=False) for signature in state.past_signatures]
        current = [
            self._signature(signature, stands=True) for signature in state.signatures.values()
        ]
        return [*past, *current]

    def _signature(self, signature: Signature, *, stands: bool) -> ShownSignature:
        return ShownSignature(
            token=signature.meaning,
            meaning=meaning(signature.meaning, self.reader),
            content=signature.content,
            stands=stands,
            signed=signed(signature.stamp),
        )

    def line(self, step: Step, line: Line) -> ShownLine:
        """A line with its boxes."""
        return ShownLine(
            line=line.line,
            ask=line.ask,
            quantity=line.quantity,
            takes=line.takes,
            choices=line.choices,
            fasteners=self._fasteners(line),
            asked_of=line.asked_of,
            asked=asked_of_unit(self.record, line),
            extremes=line.extremes,
            schematic=line.schematic,
            may_move=line.setting.may_move if line.setting else None,
            instrument=line.instrument,
            photo=line.photo,
            after=line.after,
            boxes=[self.box(line, (step.step, line.line, position)) for position in line.boxes],
        )

    def box(self, line: Line, key: BoxKey) -> ShownBox:
        """A box with all of its entries."""
        box = self.record.boxes.get(key) or Box()
        limit, waits = self._limit(line, key[2])
        current = box.current
        return ShownBox(
            position=key[2],
            limit=limit,
            limit_waits=waits,
            entry=shown_entry(current, self.reader) if current else None,
            superseded=[
                shown_entry(entry, self.reader) for entry in box.entries if entry is not current
            ],
            stale=box.stale,
            advice=advice_on(self.record, key, self.reader),
            flag=self.record.open_flag_at.get(key, ""),
        )

    def _fasteners(self, line: Line) -> int | None:
        if line.setting is None:
            return None
        try:
            return count_of(self.record, line.setting.fasteners, "")
        except Refusal:
            return None

    def _limit(self, line: Line, position: str) -> tuple[ShownLimit | None, str]:
        try:
            limit = freeze(self.record, line, position)
        except Refusal as no:
            return None, refusal_text(no, self.reader)
        return shown_limit(limit, self.reader) if limit else None, ""
