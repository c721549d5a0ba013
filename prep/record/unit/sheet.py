"""Status of the steps of a unit's sheet, and the digest of what a person signs."""

import hashlib
from enum import StrEnum

from prep.record.log import canonical_json
from prep.record.procedure.document import Caution, Procedure, Step
from prep.record.procedure.line import Line
from prep.record.unit.state import PREPARED, SECOND_PERSON, BoxKey, Record
from prep.rules.conformity.judgment import Verdict


class Status(StrEnum):
    """Status of a step."""

    DOES_NOT_APPLY = "does-not-apply"
    NOT_APPLICABLE = "not-applicable"
    AWAITS_TRACTOR = "waits-for-tractor"
    AWAITS_STEP = "waits-for-step"
    TO_DO = "to-do"
    BEGUN = "begun"
    FLAGGED = "flag-open"
    TO_SIGN = "ready-to-sign"
    AWAITS_SECOND = "waits-for-second"
    DONE = "done"


FINISHED = frozenset({Status.DOES_NOT_APPLY, Status.NOT_APPLICABLE, Status.DONE})


def statuses(record: Record) -> dict[str, Status]:
    """Status of each step by code, in sheet order; empty before the sheet is started."""
    status_of: dict[str, Status] = {}
    if record.procedure:
        for step in record.procedure.steps.values():
            status_of[step.step] = _status(record, step, status_of)
    return status_of


def waits_for(step: Step, status_of: dict[str, Status]) -> list[str]:
    """Codes of the earlier steps that `step` comes after and that are not finished."""
    return [code for code in step.after if status_of[code] not in FINISHED]


def _status(record: Record, step: Step, status_of: dict[str, Status]) -> Status:
    if not applies(record, step):
        return Status.DOES_NOT_APPLY
    state = record.steps.get(step.step)
    if state and state.skipped:
        return Status.NOT_APPLICABLE
    if step.needs_tractor and record.tractor is None:
        return Status.AWAITS_TRACTOR
    if waits_for(step, status_of):
        return Status.AWAITS_STEP
    if state and PREPARED in state.signatures:
        second = not step.second_person or SECOND_PERSON in state.signatures
        return Status.DONE if second else Status.AWAITS_SECOND
    return _entry_status(record, step)


def _entry_status(record: Record, step: Step) -> Status:
    if any((step.step, *box) in record.open_flag_at for box in step.boxes):
        return Status.FLAGGED
    if not open_boxes(record, step):
        return Status.TO_SIGN
    begun = any(_has_entry(record, (step.step, *box)) for box in step.boxes)
    return Status.BEGUN if begun else Status.TO_DO


def _has_entry(record: Record, key: BoxKey) -> bool:
    box = record.boxes.get(key)
    return box is not None and box.current is not None


def open_boxes(record: Record, step: Step) -> list[tuple[str, str]]:
    """Boxes of a step that still need a valid answer or a required photo, as (line, position)."""
    return [
        box
        for box in step.boxes
        if asked(record, step, box)
        and (not answered(record, (step.step, *box)) or lacks_photo(record, step, box))
    ]


def asked(record: Record, step: Step, box: tuple[str, str]) -> bool:
    """Whether a box is asked of this unit, or somebody began to answer it all the same."""
    return asked_of_unit(record, step.by_line[box[0]]) or _has_entry(record, (step.step, *box))


def asked_of_unit(record: Record, line: Line) -> bool:
    """Whether a line is asked of this unit: of every one, or of the first of its shipment."""
    if line.asked_of == "first-of-shipment":
        return record.first_of_shipment
    return line.asked_of == "every-unit"


def suspicion(record: Record, line: Line, key: BoxKey) -> str:
    """What was suspected where a line is asked on a suspicion; the reasons after it correct."""
    box = record.boxes.get(key)
    if line.asked_of != "suspected-fault" or box is None:
        return ""
    reasons = (getattr(entry.event, "reason", "") for entry in box.entries)
    return next((reason for reason in reasons if reason), "")


def answered(record: Record, key: BoxKey) -> bool:
    """Whether a box is settled: measured, without an open flag, or unmeasured by concession."""
    box = record.boxes.get(key)
    current = box.current if box else None
    if current is None or key in record.open_flag_at:
        return False
    if getattr(current.event, "verdict", "") != Verdict.NOT_MEASURED:
        return True
    return any(flag.concession for flag in record.flags.values() if flag.reading == current.id)


def lacks_photo(record: Record, step: Step, box: tuple[str, str]) -> bool:
    """Whether a box requires a photo and has none."""
    return step.by_line[box[0]].photo and not any(
        (photo.step, photo.line, photo.position) == (step.step, *box) for photo, _ in record.photos
    )


def applies(record: Record, step: Step) -> bool:
    """Whether a step applies to this unit, as far as is known.

    A condition on a tractor that is not known yet counts as met: the step waits for the tractor.
    """
    when = step.when
    data = record.model.data if record.model else {}
    if not set(when.options) <= set(record.options):
        return False
    if set(when.without_options) & set(record.options):
        return False
    if not _matches(when.model, data):
        return False
    return record.tractor is None or _matches(when.tractor, record.tractor.data)


def _matches(wanted: dict[str, tuple[str | int, ...]], data: dict[str, object]) -> bool:
    return all(
        str(data.get(name)) in {str(choice) for choice in choices}
        for name, choices in wanted.items()
    )


def tractor_steps(procedure: Procedure | None) -> tuple[str, ...]:
    """Codes of the steps that must be done again when the buyer's tractor changes."""
    steps = procedure.steps.values() if procedure else ()
    return tuple(step.step for step in steps if step.needs_tractor)


def begun_steps(record: Record) -> frozenset[str]:
    """Codes of the steps in which anything was entered, signed or skipped."""
    entered = {key[0] for key, box in record.boxes.items() if box.entries}
    settled = {c for c, state in record.steps.items() if state.signatures or state.skipped}
    return frozenset(entered | settled)


def cautions_of(record: Record, step: Step) -> dict[str, Caution]:
    """The cautions to show before a step."""
    assert record.procedure is not None
    return {code: record.procedure.cautions[code] for code in step.cautions}


def content_digest(record: Record, step: Step) -> str:
    """SHA-256, in hex, of what a person signs: the step's text, answers, concessions and photos."""
    shown = {
        "step": step.step,
        "title": step.title,
        "do": step.do,
        "sheet": record.sheet.digest if record.sheet else "",
        "answers": [
            [line, position, _shown_answer(record, (step.step, line, position))]
            for line, position in step.boxes
        ],
        "photos": sorted(p.digest for p, _ in record.photos if p.step == step.step),
    }
    return hashlib.sha256(canonical_json.encode(shown)).hexdigest()


def _shown_answer(record: Record, key: BoxKey) -> list[str]:
    box = record.boxes.get(key)
    entry = box.current if box else None
    if entry is None:
        return ["", ""]
    for flag in record.flags.values():
        if flag.reading == entry.id and flag.concession:
            return [entry.id, flag.concession.id]
    return [entry.id, ""]
