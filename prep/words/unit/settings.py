"""A tool's setting in words: what it was set to, and the fasteners gone over with it."""

from fractions import Fraction
from typing import Final

from django.utils.translation import gettext_noop as _

from prep.record.unit.views.entry_view import EntryView
from prep.rules.quantities.quantity import UNITS, Measured
from prep.words.reader import Reader, say
from prep.words.unit.values import ShownValue, shown_value

SET_TO: Final = _("set to {value}")
GONE_OVER: Final = _("{checked} of {fasteners} gone over, {moved} moved")


def set_to(view: EntryView, reader: Reader) -> str:
    """What a tool was set to, in its limit's unit; as typed where that could not be read."""
    shown = shown_setting(view, reader)
    return say(reader, SET_TO, value=shown.stated if shown else view.raw)


def shown_setting(view: EntryView, reader: Reader) -> ShownValue | None:
    """The value a tool was set to, as people read it; it was measured by nobody."""
    setting = view.setting
    if setting is None or not setting.value:
        return None
    value = Measured(Fraction(setting.value), UNITS[setting.unit])
    return shown_value(value, view.limit, reader)


def counts_and_units(view: EntryView, reader: Reader) -> str:
    """What stands beside a setting: the value in the other system, what was typed, the counts."""
    shown = shown_setting(view, reader)
    parts = []
    if shown:
        parts.append(f"= {shown.beside}" if shown.beside else "")
        if view.raw != shown.stated:
            parts.append(say(reader, "typed: {text}", text=view.raw))
    return " · ".join(filter(None, (*parts, gone_over(view, reader))))


def gone_over(view: EntryView, reader: Reader) -> str:
    """How many fasteners were gone over, and how many of them moved."""
    setting = view.setting
    assert setting is not None
    counts = {"checked": setting.checked, "fasteners": setting.fasteners, "moved": setting.moved}
    return say(reader, GONE_OVER, **counts)
