"""Remarks on entries in words: entered late, typed the same as the one beside it."""

from collections.abc import Iterable
from fractions import Fraction
from typing import Final

from django.utils.translation import gettext_noop as _

from prep.record.moments import Differs, Held, Trust
from prep.record.unit.remark import Contradicts, Late, Remark, SameAs
from prep.rules.quantities.quantity import UNITS, show
from prep.words.reader import Reader, say
from prep.words.rules import quantities

LATE_HOURS: Final = _("entered {hours} h after it happened")
LATE_DAYS: Final = _("entered {days} days after it happened")
CONTRADICTS: Final = _("other values make it {expected}; entered all the same")
SAME_AS: Final = _("typed the same as {position}, {seconds} s apart")

# What was so at one of an entry's two moments alone, by what is trusted and when it was so.
DIFFERS: Final[dict[tuple[Trust, Held], str]] = {
    (Trust.CALIBRATION, Held.HAPPENED): _(
        "the tool was in calibration when this was read, but overdue when it was entered"
    ),
    (Trust.CALIBRATION, Held.RECORDED): _(
        "the tool was overdue for calibration when this was read, by what was on record then"
    ),
    (Trust.SERVICE, Held.HAPPENED): _(
        "the tool was in service when this was read, but out of service when it was entered"
    ),
    (Trust.SERVICE, Held.RECORDED): _(
        "the tool was out of service when this was read, by what was on record then"
    ),
    (Trust.ON_RECORD, Held.RECORDED): _(
        "the tool was entered in the records only after this was read"
    ),
    (Trust.ROLE, Held.RECORDED): _("whoever made this entry had no role for it at that time"),
}

HOUR: Final = 60
DAY: Final = 24 * HOUR


def remark_text(remark: Remark, reader: Reader) -> str:
    """A remark as a part of a sentence."""
    match remark:
        case SameAs(position, seconds):
            return say(reader, SAME_AS, position=position, seconds=seconds)
        case Differs(about, held):
            return say(reader, DIFFERS[Trust(about), Held(held)])
        case Contradicts(expected, unit):
            value = quantities.number(show(Fraction(expected), UNITS[unit]), reader)
            return say(reader, CONTRADICTS, expected=value)
        case Late(minutes):
            return _late(minutes, reader)


def _late(minutes: int, reader: Reader) -> str:
    if minutes < 2 * DAY - HOUR // 2:
        return say(reader, LATE_HOURS, hours=round(minutes / HOUR))
    return say(reader, LATE_DAYS, days=round(minutes / DAY))


def remark_texts(remarks: Iterable[Remark], reader: Reader) -> tuple[str, ...]:
    """Several remarks, each in words."""
    return tuple(remark_text(remark, reader) for remark in remarks)
