"""Remarks on entries in words: entered late, typed the same as the one beside it."""

from collections.abc import Iterable
from typing import Final

from django.utils.translation import gettext_noop as _

from prep.record.unit.remark import Late, Remark
from prep.words.reader import Reader, say

LATE_HOURS: Final = _("entered {hours} h after it happened")
LATE_DAYS: Final = _("entered {days} days after it happened")
SAME_AS: Final = _("typed the same as {position}, {seconds} s apart")

HOUR: Final = 60
DAY: Final = 24 * HOUR


def remark_text(remark: Remark, reader: Reader) -> str:
    """A remark as a part of a sentence."""
    if not isinstance(remark, Late):
        return say(reader, SAME_AS, position=remark.position, seconds=remark.seconds)
    if remark.minutes < 2 * DAY - HOUR // 2:
        return say(reader, LATE_HOURS, hours=round(remark.minutes / HOUR))
    return say(reader, LATE_DAYS, days=round(remark.minutes / DAY))


def remark_texts(remarks: Iterable[Remark], reader: Reader) -> tuple[str, ...]:
    """Several remarks, each in words."""
    return tuple(remark_text(remark, reader) for remark in remarks)
