"""Topics of the calculators: what the rules of one module are about."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.words.reader import Reader, say

TOPICS: Final[dict[str, str]] = {
    "battery": _("Battery"),
    "blades": _("Blades"),
    "cleanliness": _("Oil cleanliness"),
    "correcting": _("Correcting out-of-limit readings"),
    "cutting_height": _("Cutting height"),
    "decision": _("Deciding near a limit"),
    "driveline": _("Driveline"),
    "fasteners": _("Fasteners"),
    "fittings": _("Fittings"),
    "friction": _("Bolt friction"),
    "gear_oil": _("Gear oil"),
    "grease": _("Grease"),
    "hitch": _("Hitch"),
    "hydraulics": _("Hydraulics"),
    "identity": _("Serial numbers"),
    "joints": _("Driveline joints"),
    "leveling": _("Leveling"),
    "pto": _("PTO"),
    "road_marking": _("Lights and markings"),
    "threads": _("Threads"),
    "tightening": _("Tightening"),
    "torque": _("Torque"),
    "torque_tools": _("Torque tools"),
    "towing": _("Towing"),
    "tractor_weight": _("Tractor weight and ballast"),
    "uncertainty": _("Measurement uncertainty"),
    "viscosity": _("Oil viscosity"),
    "wheels": _("Wheels and tires"),
}


def topic_title(rule: str, reader: Reader) -> str:
    """The topic of a rule."""
    return say(reader, TOPICS[rule.partition(".")[0]])
