"""Tokens that rules answer with: findings, directions, and the words they are called by."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.words.reader import Reader, say

TERMS: Final[dict[str, str]] = {
    "above-published": _("above the published figure"),
    "air-in-circuit": _("air still in the circuit"),
    "as-expected": _("as expected"),
    "at-plug": _("at the plug"),
    "below-usual": _("below the usual minimum"),
    "between-marks": _("between the marks"),
    "capital-letters": _("capital letters"),
    "clean-enough": _("clean enough"),
    "clockwise": _("clockwise"),
    "conforms": _("in limit"),
    "counter-clockwise": _("counterclockwise"),
    "different": _("different"),
    "digits": _("digits"),
    "dirtier": _("dirtier than allowed"),
    "edge-leads": _("cutting edge leads"),
    "edge-trails": _("cutting edge trails"),
    "either": _("either one"),
    "end-clearance": _("end clearance at the shortest position"),
    "figures-agree": _("the two figures agree"),
    "figures-disagree": _("the two figures disagree"),
    "flows": _("flows"),
    "fold": _("fold"),
    "from-memory": _("not confirmed in print"),
    "general": _("a general value"),
    "front-not-low-enough": _("front not low enough"),
    "front-too-low": _("front too low"),
    "leak": _("leak"),
    "left-hand-thread": _("left-hand thread"),
    "letters-and-digits": _("letters and digits"),
    "lift": _("lift"),
    "longer": _("longer"),
    "look-alikes": _("look-alikes"),
    "low": _("low"),
    "machine-joint-angle": _("angle of the machine's joint"),
    "manufacturer": _("the manufacturer's value"),
    "matched": _("matched"),
    "nearest": _("as near as the segments allow"),
    "not-above-published": _("not above the published figure"),
    "not-below-usual": _("not below the usual minimum"),
    "not-turned": _("not turned"),
    "nothing-to-do": _("nothing to turn, add or move"),
    "one-source": _("read in one public source"),
    "one-source-with-conditions": _("read in one public source; conditions within 25 miles apply"),
    "over-full-mark": _("over the full mark"),
    "over-plug": _("over the plug"),
    "overlap": _("overlap"),
    "proposal": _("read in one public source; a task force's proposal, not law"),
    "reached": _("reached"),
    "rear-lower-than-front": _("rear lower than front"),
    "right-hand-thread": _("right-hand thread"),
    "same": _("the same"),
    "shorter": _("shorter"),
    "slot-not-in-line": _("slot not lined up"),
    "too-high-for-stops": _("higher than the segments reach"),
    "too-loose": _("too loose"),
    "too-low-for-stops": _("lower than the stops allow"),
    "too-thick": _("too thick"),
    "too-tight": _("too tight"),
    "tractor-joint-angle": _("angle of the tractor's joint"),
    "turf-care-mowers": _(
        "ANSI B71.1 and B71.4 set 19,000 ft/min for powered turf-care mowers. No published figure "
        "was found for large rotary cutters, so this is advice and not a limit; follow the "
        "manufacturer's speed."
    ),
    "unchanged": _("unchanged"),
    "unclassified": _("unclassified"),
    "uncut-strip": _("leaves an uncut strip"),
    "unmatched": _("unmatched"),
    "wing-high": _("wing high"),
    "wing-low": _("wing low"),
}


def word(token: str, reader: Reader) -> str:
    """The word of a token; data, such as a grade or a thread, is shown as it is."""
    return say(reader, TERMS[token]) if token in TERMS else token
