"""Faults of an input in words."""

from typing import Final

from django.utils.translation import gettext_noop

from prep.record.struct_errors import Fault
from prep.words.commands import FIELDS
from prep.words.reader import Reader, say

SENTENCES: Final = {
    "blank": gettext_noop("Fill in “{name}”."),
    "none-chosen": gettext_noop("“{name}” needs at least one. Choose what applies."),
    "missing": gettext_noop("“{name}” is missing."),
    "unknown": gettext_noop("There is no “{name}” here. Known: {bound}."),
    "too-long": gettext_noop("“{name}” may be at most {bound} long. Shorten it."),
    "too-small": gettext_noop("“{name}” must be at least {bound}."),
    "too-large": gettext_noop("“{name}” must be at most {bound}."),
    "not-a-choice": gettext_noop("“{name}” is not one of the choices."),
    "wrong-type": gettext_noop("“{name}” must be of type {bound}."),
    "not-an-email": gettext_noop("Enter a valid e-mail address."),
    "not-a-day": gettext_noop("Enter a date as year-month-day, such as 2027-03-31."),
    "not-a-user-name": gettext_noop(
        "“{name}” may have letters, digits and . _ - + @, and no spaces."
    ),
    "site-code-unfit": gettext_noop(
        "“{name}” takes small letters, digits and hyphens, such as “west”, and begins with a "
        "letter or a digit."
    ),
    "country-unfit": gettext_noop("“{name}” takes two capital letters, such as US."),
    "clock-unfit": gettext_noop("“{name}” takes hours and minutes, such as 07:30."),
    "not-a-web-address": gettext_noop(
        "Enter the whole web address, beginning with https:// or http://."
    ),
    "malformed": gettext_noop("“{name}” is not written as it must be. Check it."),
}


# Types of values as a person knows them, by the names that Python and JSON have for them.
TYPES: Final = {
    "str": gettext_noop("text"),
    "int": gettext_noop("whole number"),
    "float": gettext_noop("number"),
    "bool": gettext_noop("yes or no"),
    "array": gettext_noop("list"),
    "object": gettext_noop("object"),
}


def fault_text(fault: Fault, reader: Reader, *, by_label: bool = False) -> str:
    """What is wrong with a field, and what to do.

    Programs know a field by its name, people by its label on the form (`by_label`).
    """
    name = ".".join(fault.path)
    if by_label and name in FIELDS:
        name = say(reader, FIELDS[name])
    return named_fault_text(fault, name, reader)


def named_fault_text(fault: Fault, name: str, reader: Reader) -> str:
    """The same of a field that the person knows by another name."""
    bound = say(reader, TYPES[fault.bound]) if fault.bound in TYPES else fault.bound
    return say(reader, SENTENCES[fault.problem], name=name, bound=bound)
