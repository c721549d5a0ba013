"""What the choices of a rule's inputs are called, and the ranges of its other inputs.

A choice that is a designation of a standard, such as a grade or a thread, is shown as it is.
"""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.rules.catalog.catalog import In
from prep.rules.quantities.quantity import unit as unit_called
from prep.words.reader import Reader, say
from prep.words.rules import quantities

CHOICES: Final[dict[str, str]] = {
    "12 to 13 in wheel": _("12 to 13 in wheel"),
    "14 to 16 in wheel, 1/2 in stud": _("14 to 16 in wheel, 1/2 in stud"),
    "16 in wheel, 9/16 in stud": _("16 in wheel, 9/16 in stud"),
    "5/8 in cone nut": _("5/8 in cone nut"),
    "5/8 in flange nut": _("5/8 in flange nut"),
    "EU and UK, agricultural": _("EU and UK, agricultural"),
    "EU and UK, general": _("EU and UK, general"),
    "US, California, other roads": _("US, California, other roads"),
    "US, Interstate network": _("US, Interstate network"),
    "US, Wisconsin, proposal": _("US, Wisconsin, proposal"),
    "anti-seize": _("anti-seize"),
    "behind the tractor": _("from behind the tractor"),
    "both": _("both"),
    "breaking": _("breaking strength"),
    "cadmium plated": _("cadmium plated"),
    "cap end": _("cap end"),
    "clockwise": _("clockwise"),
    "continuous": _("continuous"),
    "counter-clockwise": _("counterclockwise"),
    "empty": _("empty"),
    "extend": _("extend"),
    "extended": _("extended"),
    "full": _("full"),
    "general": _("general"),
    "in front of the shaft": _("from in front of the shaft"),
    "later edition": _("later edition"),
    "left": _("left-hand"),
    "lowers": _("lowers"),
    "machine": _("at the machine"),
    "metric coarse": _("metric coarse"),
    "metric fine": _("metric fine"),
    "newer": _("newer"),
    "no": _("no"),
    "none": _("none"),
    "oiled": _("oiled"),
    "older": _("older"),
    "on the implement": _("on the implement"),
    "one": _("one thread"),
    "opposite": _("opposite threads"),
    "phosphate and oil": _("phosphate and oil"),
    "plain, dry": _("plain, dry"),
    "preferred": _("preferred"),
    "raises": _("raises"),
    "regular": _("regular"),
    "rested": _("resting, not screwed in"),
    "retract": _("retract"),
    "right": _("right-hand"),
    "rod end": _("rod end"),
    "screwed in": _("screwed in"),
    "short": _("short"),
    "single": _("single"),
    "stainless on stainless, dry": _("stainless on stainless, dry"),
    "stationary": _("stationary"),
    "tractor": _("at the tractor"),
    "unmarked": _("unmarked"),
    "waxed": _("waxed"),
    "wide-angle": _("wide-angle"),
    "working load": _("working load limit"),
    "yes": _("yes"),
    "zinc plated, dry": _("zinc plated, dry"),
}
NUMBER: Final = _("From {least} to {most}.")
QUANTITY: Final = _("From {least} to {most} {unit}. Type it in any unit of {quantity}.")


def choice(token: str, reader: Reader) -> str:
    """What one choice is called."""
    return say(reader, CHOICES[token]) if token in CHOICES else token


def range_text(spec: In, reader: Reader) -> str:
    """The range of an input, and which units it may be typed in."""
    least, most = (quantities.number(f"{end:g}", reader) for end in (spec.least, spec.most))
    if spec.unit == "1":
        return say(reader, NUMBER, least=least, most=most)
    quantity = quantities.name(unit_called(spec.unit).quantity, reader)
    return say(reader, QUANTITY, least=least, most=most, unit=spec.unit, quantity=quantity)
