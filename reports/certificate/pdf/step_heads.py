"""Heads of the steps in a certificate: who entered and signed, and whatever was unusual."""

from collections.abc import Iterator
from datetime import datetime
from itertools import groupby
from typing import Final

from prep.record.unit.sheet import Status
from prep.words import dates
from prep.words.reader import Reader, say
from prep.words.unit.signatures import signature_line
from reports.certificate.facts import StepFacts
from reports.certificate.pdf import wording
from reports.certificate.pdf.rows import MOST_IN_CELL
from reports.pdf.typeface import bold, joined, plain, small

MOST_IN_HEAD: Final = 800


def entered(step: StepFacts, reader: Reader) -> list[str]:
    """Who made a step's current entries, by person and day, with the first and last moment."""
    given = [box.current.by for box in step.boxes if box.current]
    lines = []
    for _, entries in groupby(given, lambda by: (by.meaning, by.name, by.named, by.at.date())):
        by = list(entries)
        moments = [one.at for one in by]
        span = _span(min(moments), max(moments), reader)
        lines.append(signature_line(by[0].meaning, wording.name_of(by[0], reader), span, reader))
    return lines


def _span(first: datetime, last: datetime, reader: Reader) -> str:
    start, until = dates.short_moment(first, reader), f"{last:%H:%M}"
    return start if until == f"{first:%H:%M}" else f"{start}–{until}"


def head(step: StepFacts, entered_by: list[str], reader: Reader) -> str:
    """Markup of a step's head; it names who made the entries where one person did at one time."""
    signatures = entered_by if len(entered_by) == 1 else []
    signatures = [*signatures, *(wording.signature(one, reader) for one in step.signed)]
    return joined(
        bold(step.title, MOST_IN_CELL),
        small(plain("; ".join(signatures), MOST_IN_HEAD)),
        *map(small, _unusual(step, reader)),
    )


def _unusual(step: StepFacts, reader: Reader) -> Iterator[str]:
    """Markup of lines on a step that was left out, is still open, or was opened again."""
    if step.skipped:
        yield say(reader, "not applicable: {reason}", reason=plain(step.skipped))
    elif not step.signed:
        if step.status == Status.AWAITS_TRACTOR:
            yield say(reader, "open until the buyer's tractor is known")
        else:
            yield say(reader, "not done at this release")
    if step.reopened:
        yield say(
            reader, "reopened: {reasons}", reasons=plain(" / ".join(step.reopened), MOST_IN_HEAD)
        )
        past = "; ".join(wording.signature(one, reader) for one in step.past)
        if past:
            yield say(
                reader, "signatures before that: {signatures}", signatures=plain(past, MOST_IN_HEAD)
            )
        else:
            yield say(reader, "no signatures before that")
