"""What holds of a unit whatever was done to it: its index, its release, each view of its past."""

from datetime import date, timedelta
from fractions import Fraction
from random import Random
from uuid import UUID

from api.answers.sheets import shown_sheet
from prep.actions.index_rows import stored_rows
from prep.queries.records import LIBRARY, record_of
from prep.record.unit.commands.handwritten import writers
from prep.record.unit.events import ReadingTaken, UnitEvent
from prep.record.unit.limits import decision_rule, interval_of
from prep.record.unit.sheet import FINISHED, statuses, waits_for
from prep.record.unit.state import PREPARED, SECOND_PERSON, Record, Stamp
from prep.record.unit.views.audit_findings import findings
from prep.record.unit.views.index_rows import rows
from prep.record.unit.views.past import happened_by
from prep.rules.conformity.judgment import AtLimits, judge
from prep.rules.quantities.quantity import UNITS, Measured
from prep.words.reader import ENGLISH
from prep.words.unit.history import event_text
from prep.words.unit.past import left_out_texts


def rebuilt_differs(unit: UUID) -> list[str]:
    """Differences between a unit's index and the one rebuilt from its log."""
    stored, fresh = stored_rows(unit), rows(record_of(unit))
    wrong = [k for k, v in fresh.unit.items() if stored["unit"][k] != v]
    for table in ("steps", "readings", "flags", "sign_offs"):
        wanted = {key: dict(row) for key, row in getattr(fresh, table).items()}
        if stored[table] != wanted:
            wrong.append(table)
    return wrong


def release_is_sound(record: Record) -> list[str]:
    """What is wrong with a release that stands: open flags, unsigned steps, one person twice."""
    status_of = statuses(record)
    assert record.procedure is not None
    wrong = [flag.about.origin for flag in record.open_flags()]
    for code, step in record.procedure.steps.items():
        if step.needs_tractor and record.buyer is None:
            continue
        if status_of[code] not in FINISHED or waits_for(step, status_of):
            wrong.append(code)
        signed = record.step_state(code).signatures
        wrote = writers(record, step)
        if wrote and PREPARED in signed and signed[PREPARED].stamp.actor not in wrote:
            wrong.append(f"{code}: copied from paper and signed by somebody else")
        if not step.second_person or PREPARED not in signed:
            continue
        if signed[PREPARED].stamp.actor == signed[SECOND_PERSON].stamp.actor:
            wrong.append(f"{code}: one person twice")
    return wrong


def verdicts_follow_from_their_events(record: Record) -> list[str]:
    """Readings whose verdict is not the one that their own event's numbers give."""
    wrong = []
    for box in record.boxes.values():
        for entry in box.entries:
            event = entry.event
            if not isinstance(event, ReadingTaken) or not event.canonical or event.limit is None:
                continue
            interval = interval_of(event.limit)
            assert interval is not None
            expanded, low, high = (
                Fraction(text or 0)
                for text in (
                    event.expanded_uncertainty,
                    event.uncertainty_low,
                    event.uncertainty_high,
                )
            )
            judgment = judge(
                Measured(Fraction(event.value), UNITS[event.unit]).canonical(),
                interval,
                decision_rule(event.limit),
                expanded,
                AtLimits(low, high),
            )
            if judgment.verdict.value != event.verdict:
                wrong.append(f"{event.raw}: {event.verdict}, and not {judgment.verdict.value}")
    return wrong


def dated_anyhow(history: list[tuple[Stamp, UnitEvent]]) -> None:
    """A history whose events happened in any order whatever: each view of it can be shown."""
    random = Random(len(history))
    begun = history[0][0].happened
    dated = [
        (stamp._replace(happened=begun + timedelta(hours=random.randrange(9))), event)
        for stamp, event in history
    ]
    for hours in range(9):
        past = happened_by(dated, begun + timedelta(hours=hours), LIBRARY)
        kept = [stamp.version for stamp, _ in past.events]
        gone = {one.version for one in past.left_out if one.whole}
        by_then = [s.version for s, _ in dated if s.happened <= past.moment]
        assert [v for v in by_then if v not in gone] == kept
        rows(past.record)
        assert all(event_text(event, past.record, ENGLISH) for _, event in past.events)
        assert left_out_texts(past.left_out, ENGLISH) is not None
        list(findings(past.events, past.record, date(2027, 1, 1)))
        if past.record.procedure:
            shown_sheet(UUID(int=0), past.record, ENGLISH)
