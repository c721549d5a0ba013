"""What is asked or said about a typed entry that gave no value."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.rules.entries.results import Unread
from prep.rules.phrase import Phrase
from prep.words.reader import Reader
from prep.words.rules.phrases import filled

SENTENCES: Final[dict[str, str]] = {
    # Kept as a note.
    "approximate": _(
        "An approximate value is kept as a note and does not count. Measure, and enter the number "
        "on the tool."
    ),
    "note-only": _(
        "This is a note, not a measured value, and does not count. Enter the number and its unit."
    ),
    # An answer, with its reason.
    "unmeasured": _("Not measured. The reason is kept, and nothing counts until it is measured."),
    # Asked back, with choices.
    "letter-for-digit": _("There is a letter in the number. Did you mean “{digits}”?"),
    "more-than-one-way": _("“{typed}” can be read in more than one way. Which did you read?"),
    "two-values-differ": _("{typed} is {same}, not {printed}. Which did you read?"),
    "which-meaning": _("What does “{typed}” mean?"),
    "which-percent": _("Is “{typed}” a percent?"),
    "which-temperature": _("What does “{typed}” mean? Celsius or Fahrenheit?"),
    "which-torque": _(
        "What does “{typed}” mean? Pounds alone are not a torque: foot-pounds or inch-pounds?"
    ),
    "which-unit": _("“{typed}” in which unit?"),
    "which-volume": _(
        "What does “{typed}” mean? US or imperial? Ounces by weight are not a volume."
    ),
    # Refused.
    "below-absolute-zero": _(
        "“{typed}” is below absolute zero: nothing is that cold. Check the number and its unit."
    ),
    "below-vacuum": _(
        "“{typed}” is less than a vacuum: no gauge shows that. Check the number and its unit."
    ),
    "letter-in-number": _("There is a letter in the number. Use the digits 0 to 9."),
    "more-than-all": _(
        "“{typed}” is more than there are. Enter how many of how many, such as 12 of 12."
    ),
    "no-number": _("There is no number in “{typed}”. Enter the number and its unit."),
    "not-a-digit": _("“{character}” is not a digit we can read. Use the digits 0 to 9."),
    "not-a-fraction": _("{typed} is not a proper fraction. Enter a fraction such as 13 7/8."),
    "not-negative": _("This {quantity} cannot be negative. Enter it without the minus sign."),
    "not-one-number": _(
        "“{typed}” is not one number. Enter it with one decimal point or comma, such as 1250.5."
    ),
    "nothing-typed": _("Nothing was entered. Enter the number and its unit."),
    "number-first": _("Enter the number first, then its unit, without “{typed}”."),
    "number-too-large": _("The number is too large for a reading. Enter the number on the tool."),
    "power-of-ten": _("Powers of ten cannot be read here. Write the number out, such as 1250."),
    "range": _("This is a range. Enter the one value the tool showed."),
    "reason-missing": _(
        "Say why it was not measured, such as “not measured, because the gauge is out for "
        "calibration”."
    ),
    "several-values": _(
        "There are several numbers here. Enter one reading in each box, position by position."
    ),
    "too-long": _("This is too long for a reading. Enter one number and its unit."),
    "too-many-digits": _("“{typed}” has too many digits. Enter the number on the tool."),
    "unit-of-another-quantity": _(
        "“{unit}” is a unit of {other}, and this box takes {quantity}. Enter it with its unit, "
        "such as {examples}."
    ),
    "unknown-unit": _(
        "“{unit}” is not a unit of {quantity} we know. Enter the number with its unit, such as "
        "{examples}."
    ),
    "whole-and-odd-fraction": _("{whole} and {fraction} look like two numbers. Enter one reading."),
    "with-uncertainty": _(
        "Enter only the value the tool showed. Its uncertainty is known from its calibration."
    ),
}


def sentence(why: Phrase, reader: Reader) -> str:
    """Why an entry gave no value, in the reader's language."""
    return filled(SENTENCES[why.code], why.values, reader)


def text(entry: Unread, reader: Reader) -> str:
    """What is asked or said about an entry that gave no value."""
    return sentence(entry.why, reader)
