"""What a rule answers with: its values in words, and the findings that take more than a token."""

from typing import Any, Final

from django.utils.translation import gettext_noop as _

from prep.rules.answers.answer import Calculation, Understood, Value
from prep.rules.phrase import Phrase
from prep.words.reader import Reader, say
from prep.words.rules import advice, choices, quantities, terms
from prep.words.rules.phrases import filled

SENTENCES: Final[dict[str, str]] = {
    # What differs between tractor and machine.
    "adapter-fitted": _("adapter: remove it, and fit the driveline made for this PTO"),
    "speeds-differ": _("speed: tractor {tractor}, machine {machine}"),
    "splines-differ": _("splines: tractor {tractor}, machine {machine}"),
    # Poses of tractor and machine.
    "crest": _("over a crest"),
    "full-left-turn": _("full left turn"),
    "full-right-turn": _("full right turn"),
    "full-turn": _("full turn to either side"),
    "hollow": _("in a hollow"),
    "leaning": _("leaning to either side"),
    "leaning-into-turn": _("leaning into the turn"),
    "leaning-left": _("leaning left"),
    "leaning-out-of-turn": _("leaning out of the turn"),
    "leaning-right": _("leaning right"),
    "left-turn": _("{angle} left turn"),
    "lowered": _("lowered"),
    "part-crest": _("{angle} over a crest"),
    "part-hollow": _("{angle} in a hollow"),
    "part-raised": _("raised {percent} of the way"),
    "raised": _("raised"),
    "right-turn": _("{angle} right turn"),
    "straight-ahead": _("straight ahead"),
    "turn": _("{angle} turn to either side"),
}
YES: Final = _("yes")
NO: Final = _("no")
NONE: Final = _("none")


def phrase(finding: Phrase, reader: Reader) -> str:
    """A finding in words."""
    return filled(SENTENCES[finding.code], finding.values, reader)


def shown(value: Value, reader: Reader) -> tuple[str, ...]:
    """A value of an answer as people read it: in each usual unit, or in words."""
    if value.shown:
        return tuple(quantities.number(text, reader) for text in value.shown)
    return (in_words(value.value, reader),)


def in_words(value: Any, reader: Reader) -> str:
    """A value without a unit: yes or no, nine digits at most, a list with semicolons."""
    if isinstance(value, bool):
        return say(reader, YES if value else NO)
    if isinstance(value, float):
        return quantities.number(f"{value:.9g}", reader)
    if isinstance(value, Phrase):
        return phrase(value, reader)
    if isinstance(value, tuple):
        return "; ".join(in_words(part, reader) for part in value) or say(reader, NONE)
    return terms.word(str(value), reader)


def input_in_words(value: Understood, reader: Reader) -> str:
    """An input as understood, with the unit the rule computes in."""
    unit = "" if value.unit == "1" else value.unit
    shown = value.value
    words = choices.choice(shown, reader) if isinstance(shown, str) else in_words(shown, reader)
    return f"{words} {unit}".rstrip()


def advice_of(answer: Calculation, reader: Reader) -> tuple[str, ...]:
    """What to do about the answer, in the units typed."""
    return tuple(advice.text(one, reader, answer.typed_units) for one in answer.advice)
