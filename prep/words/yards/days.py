"""Days of the week in words."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.record.site.details import Weekday
from prep.words.reader import Reader, say

WEEKDAYS: Final[dict[Weekday, str]] = {
    Weekday.MONDAY: _("Monday"),
    Weekday.TUESDAY: _("Tuesday"),
    Weekday.WEDNESDAY: _("Wednesday"),
    Weekday.THURSDAY: _("Thursday"),
    Weekday.FRIDAY: _("Friday"),
    Weekday.SATURDAY: _("Saturday"),
    Weekday.SUNDAY: _("Sunday"),
}


def weekday_text(day: Weekday, reader: Reader) -> str:
    """What a day of the week is called."""
    return say(reader, WEEKDAYS[day])
