"""Verdicts and answers: one word, one mark and one explanation of each, on every surface."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.rules.conformity.judgment import CheckAnswer, SettingAnswer, Verdict
from prep.words.reader import Reader, say

# A shape of its own for each verdict, so that a black-and-white copy says the same.
MARKS: Final[dict[str, str]] = {
    Verdict.CONFORMING: "✓",
    Verdict.CONFORMING_GUARD: "◐",
    Verdict.NONCONFORMING_GUARD: "△",
    Verdict.NONCONFORMING: "✗",
    Verdict.NO_LIMIT: "·",
    Verdict.NOT_MEASURED: "□",
    CheckAnswer.YES: "✓",
    CheckAnswer.NO: "✗",
    SettingAnswer.IN_LIMIT: "✓",
    SettingAnswer.NEAR_LIMIT: "◐",
    SettingAnswer.OUT_OF_LIMIT: "✗",
    SettingAnswer.NO_LIMIT: "·",
    SettingAnswer.MOVED: "✗",
    SettingAnswer.LEFT_OUT: "✗",
}

# The plain word first, the term of the standards (ILAC-G8:09/2019) beside it.
WORDS: Final[dict[str, str]] = {
    Verdict.CONFORMING: _("in limit (conforming)"),
    Verdict.CONFORMING_GUARD: _("barely in limit (conforming, guard band)"),
    Verdict.NONCONFORMING_GUARD: _("barely out of limit (nonconforming, guard band)"),
    Verdict.NONCONFORMING: _("out of limit (nonconforming)"),
    Verdict.NO_LIMIT: _("no limit"),
    Verdict.NOT_MEASURED: _("not measured"),
    CheckAnswer.YES: _("answered yes"),
    CheckAnswer.NO: _("answered no"),
    SettingAnswer.IN_LIMIT: _("set in limit"),
    SettingAnswer.NEAR_LIMIT: _("set barely in limit"),
    SettingAnswer.OUT_OF_LIMIT: _("set out of limit"),
    SettingAnswer.NO_LIMIT: _("set, no limit"),
    SettingAnswer.MOVED: _("some moved"),
    SettingAnswer.LEFT_OUT: _("some not checked"),
}

EXPLANATIONS: Final[dict[str, str]] = {
    Verdict.CONFORMING: _("The reading is in limit."),
    Verdict.CONFORMING_GUARD: _(
        "In limit, but too close to the limit for this tool. Re-measure with a more accurate tool."
    ),
    Verdict.NONCONFORMING_GUARD: _(
        "Out of limit, but too close to the limit for this tool. Re-measure with a more accurate "
        "tool, or fix it."
    ),
    Verdict.NONCONFORMING: _("The reading is out of limit. Fix it and measure again."),
    Verdict.NO_LIMIT: _("Recorded. No limit applies."),
    Verdict.NOT_MEASURED: _(
        "No value was measured, so this does not count. Measure it, or say why it was not measured."
    ),
    CheckAnswer.YES: _("The check was done."),
    CheckAnswer.NO: _("The check found a problem. Fix it and answer again."),
    SettingAnswer.IN_LIMIT: _(
        "The tool was set in limit, and every fastener was gone over. No torque was measured."
    ),
    SettingAnswer.NEAR_LIMIT: _(
        "Set in limit, but too close to the limit for this tool. Set it nearer the middle, or take "
        "a more accurate tool, and go over every fastener again."
    ),
    SettingAnswer.OUT_OF_LIMIT: _(
        "The tool was set out of limit. Set it right and go over every fastener again."
    ),
    SettingAnswer.NO_LIMIT: _("What the tool was set to is recorded. No limit applies."),
    SettingAnswer.MOVED: _(
        "A fastener that moves was loose. Go over them again until none moves, and enter that."
    ),
    SettingAnswer.LEFT_OUT: _("Go over the others too, and enter the whole number."),
}

# Verdicts whose word alone tells a technician what to do.
CLEAR: Final = frozenset(
    {
        Verdict.CONFORMING,
        Verdict.NONCONFORMING,
        CheckAnswer.YES,
        CheckAnswer.NO,
        SettingAnswer.IN_LIMIT,
    }
)


def mark(verdict: str) -> str:
    """The shape that stands for a verdict."""
    return MARKS[verdict]


def word(verdict: str, reader: Reader) -> str:
    """What a verdict is called."""
    return say(reader, WORDS[verdict])


def explanation(verdict: str, reader: Reader) -> str:
    """What a verdict means and what to do about it."""
    return say(reader, EXPLANATIONS[verdict])
