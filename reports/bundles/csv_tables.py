"""Rows of a bundle's tables: what was read, signed and flagged, one row an entry.

Sentences are in the language of the bundle's reader. Tokens (verdicts, states, yes and no) are the
same in every bundle, because programs read them; the README says what they mean.
"""

from collections.abc import Iterator

from prep.record.facts import Paper
from prep.record.log.envelope import moment
from prep.record.moments import Differs
from prep.record.unit.frozen_limit import FrozenLimit
from prep.record.unit.remark import Contradicts, Late, Remark, SameAs
from prep.record.unit.state import Box, BoxKey, Entry, Record, Stamp
from prep.record.unit.views.audit_findings import Finding
from prep.record.unit.views.entry_view import EntryView, entry_view
from prep.record.unit.views.index_rows import rows
from prep.words.reader import Reader
from prep.words.unit.audit_findings import finding_text
from prep.words.unit.flags import closing_text, flag_text
from prep.words.unit.limits import limit_text
from prep.words.unit.remarks import remark_texts
from prep.words.unit.signatures import meaning
from reports.bundles.csv_format import Row


def reading_rows(unit: str, record: Record, reader: Reader) -> Iterator[Row]:
    """Rows of a unit's entries, superseded ones included, in the order of the sheet."""
    for key in sorted(record.boxes, key=_place_on_sheet(record)):
        box = record.boxes[key]
        for entry in box.entries:
            yield _reading_row(unit, record, box, entry, reader)


def sign_off_rows(unit: str, record: Record, reader: Reader) -> Iterator[Row]:
    """Rows of a unit's signatures, those that no longer stand included."""
    for row in sorted(rows(record).sign_offs.values(), key=lambda row: int(row["version"])):
        yield (
            unit,
            record.serial,
            row["step"],
            _title(record, row["step"]),
            meaning(row["meaning"], reader),
            row["meaning"],
            row["person"],
            row["person_name"],
            moment(row["happened"]),
            yes(row["stands"]),
            row["content"],
        )


def flag_rows(unit: str, record: Record, reader: Reader) -> Iterator[Row]:
    """Rows of a unit's flags and how each was closed, oldest first."""
    for flag in record.flags.values():
        step, line, position = flag.box
        yield (
            unit,
            record.serial,
            flag.about.origin,
            flag_text(flag.about, reader),
            flag.reading,
            step,
            line,
            position,
            moment(flag.stamp.happened),
            flag.stamp.name,
            _when(flag.closed),
            flag.closed.name if flag.closed else "",
            flag.closed_how.value if flag.closed_how else "",
            flag.closed_by,
            closing_text(flag, reader),
            flag.concession.reason if flag.concession else "",
        )


def finding_row(unit: str, record: Record, finding: Finding, reader: Reader) -> Row:
    """Row of one audit finding."""
    step, line, position = finding.box
    stamp = finding.stamp
    return (
        unit,
        record.serial,
        finding.kind,
        finding_text(finding, reader),
        step,
        _title(record, step),
        line,
        position,
        *((stamp.actor, stamp.name) if stamp else ("", "")),
        *((moment(stamp.happened), moment(stamp.recorded)) if stamp else ("", "")),
    )


def unit_row(unit: str, record: Record) -> Row:
    """Row of one unit."""
    row = rows(record).unit
    return (
        unit,
        record.maker,
        record.serial,
        row["model"],
        row["model_name"],
        row["state"],
        row["procedure"],
        str(row["revision"] or ""),
        *(moment(row[on]) if row[on] else "" for on in ("received", "released", "handed_over")),
        row["registration_due"],
        str(row["open_flags"]),
        str(record.version),
    )


def yes(answer: bool) -> str:
    """A truth value as the token `yes` or `no`."""
    return "yes" if answer else "no"


def _reading_row(unit: str, record: Record, box: Box, entry: Entry, reader: Reader) -> Row:
    view, stamp = entry_view(entry), entry.stamp
    procedure = record.procedure
    step = procedure.steps.get(view.step) if procedure else None
    line = step.by_line.get(view.line) if step else None
    return (
        unit,
        record.serial,
        procedure.section_of[view.step].title if procedure and step else "",
        view.step,
        step.title if step else "",
        view.line,
        line.ask if line else "",
        view.position,
        *_answer_cells(view, entry is box.current, reader),
        stamp.actor,
        stamp.name,
        moment(stamp.happened),
        moment(stamp.recorded),
        *(stamp.named or ("", "")),
        view.supersedes,
        view.reason,
        "; ".join(filter(None, (view.note, *remark_texts(view.remarks, reader)))),
        "; ".join(map(_tokens, view.remarks)),
        yes(view.copied_from_paper),
        *_writing(view.paper),
        view.id,
    )


def _answer_cells(view: EntryView, stands: bool, reader: Reader) -> Row:
    """The columns from “as typed” to “conformance probability”."""
    limit, instrument = view.limit, view.instrument
    return (
        view.raw,
        view.choice or view.value,
        view.unit,
        view.canonical,
        view.canonical_unit,
        *_setting_cells(view),
        view.verdict,
        yes(stands),
        *(_limit_cells(limit, reader) if limit else [""] * 6),
        *((instrument.code, instrument.name, instrument.due) if instrument else [""] * 3),
        view.expanded_uncertainty,
        view.uncertainty_low,
        view.uncertainty_high,
        view.probability,
    )


def _setting_cells(view: EntryView) -> Row:
    """What a tool was set to, and the fasteners gone over with it: nobody measured it."""
    one = view.setting
    if one is None:
        return ("",) * 5
    return one.value, one.unit, str(one.fasteners), str(one.checked), str(one.moved)


def _limit_cells(limit: FrozenLimit, reader: Reader) -> Row:
    text = limit_text(limit, reader)
    return text, limit.low, limit.high, limit.source, limit.basis, limit.decision


def _tokens(remark: Remark) -> str:
    """A remark as its token and values: `late 300`, `same-as 4 left 1`."""
    match remark:
        case Late(minutes):
            return f"late {minutes}"
        case SameAs(position, seconds):
            return f"same-as {seconds} {position}"
        case Contradicts(expected, unit):
            return f"contradicts {expected} {unit}"
        case Differs(about, held):
            return f"differs {about} {held}"


def _writing(source: Paper | None) -> Row:
    """Who wrote an entry that was copied from paper, and the digest of the picture."""
    return (source.writer, source.writer_name, source.digest) if source else ("", "", "")


def _place_on_sheet(record: Record) -> "_Place":
    steps = record.procedure.steps if record.procedure else {}
    return _Place(
        {
            (step.step, *box): (ordinal, number)
            for ordinal, step in enumerate(steps.values())
            for number, box in enumerate(step.boxes)
        }
    )


class _Place:
    """Sorts boxes as the sheet shows them; boxes of an earlier revision come last, by name."""

    def __init__(self, known: dict[tuple[str, str, str], tuple[int, int]]) -> None:
        self._known = known

    def __call__(self, key: tuple[str, str, str]) -> tuple[bool, tuple[int, int], Row]:
        return (key not in self._known, self._known.get(key, (0, 0)), key)


def place_of(record: Record, box: BoxKey) -> str:
    """A box as a person finds it: title of its step, its question, its position."""
    step = record.procedure.steps.get(box[0]) if record.procedure else None
    line = step.by_line.get(box[1]) if step else None
    return ", ".join(filter(None, (step.title if step else "", line.ask if line else "", box[2])))


def _title(record: Record, step: str) -> str:
    listed = record.procedure.steps.get(step) if record.procedure else None
    return listed.title if listed else ""


def _when(stamp: Stamp | None) -> str:
    return moment(stamp.happened) if stamp else ""
