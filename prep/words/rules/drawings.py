"""Words on drawings, in the reader's language and number style."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.rules.catalog.advice import Advice
from prep.rules.drawings.captions import Show
from prep.rules.phrase import Phrase, Value
from prep.words import verdicts
from prep.words.reader import Reader
from prep.words.rules import advice as advice_words
from prep.words.rules import quantities, results, terms
from prep.words.rules.phrases import filled

CAPTIONS: Final[dict[str, str]] = {
    # A reading among its limits, and the readings of a box in their order.
    "accepted-from": _("accepted from"),
    "accepted-to": _("accepted to"),
    "at-least": _("least {limit}"),
    "at-most": _("most {limit}"),
    "cannot-decide": _("This tool is not accurate enough to decide."),
    "lower-limit": _("lower limit"),
    "lower-limit-is": _("Lower limit {limit}."),
    "probability": _("Probability that the true value is in limit: {probability}."),
    "probability-above": _("Probability that the true value is in limit: more than {probability}."),
    "probability-below": _("Probability that the true value is in limit: less than {probability}."),
    "reading-title": _("The reading and its limits"),
    "trend-title": _("Readings of this box, in order"),
    "upper-limit": _("upper limit"),
    "upper-limit-is": _("Upper limit {limit}."),
    # Level and pitch of a deck.
    "center": _("center"),
    "front-tip": _("front tip"),
    "front-tip-higher": _("The front tip is {difference} higher than the rear tip."),
    "front-tip-lower": _("The front tip is {difference} lower than the rear tip."),
    "front-tip-window": _("where the front tip should be"),
    "heights-not-to-scale": _("Differences in height are drawn larger than they are."),
    "left-wing": _("left wing"),
    "left-wing-advice": _("Left wing: {advice}"),
    "nothing-to-turn": _("Nothing to turn."),
    "pitch-finding": _("Pitch: {finding}."),
    "pitch-title": _("Pitch of the deck, side view"),
    "rear-tip": _("rear tip"),
    "right-wing": _("right wing"),
    "right-wing-advice": _("Right wing: {advice}"),
    "seen-from-behind": _("seen from behind"),
    "tips-level": _("The front tip is as high as the rear tip."),
    "travel": _("travel"),
    "turns-longer": _("{turns} turns longer"),
    "turns-shorter": _("{turns} turns shorter"),
    "wanted-lower": _("Wanted: {least} to {most} lower."),
    "wing-findings": _("Left: {left}; right: {right}."),
    "wing-tip-window": _("where the wing's outer tip may be"),
    "wings-title": _("Wings compared with the center, seen from behind"),
    # Stop segments on the rod.
    "barrel": _("barrel"),
    "height-finding": _("Cutting height {height}; wanted {wanted}: {finding}."),
    "no-segment": _("no segment"),
    "nothing-to-move": _("Nothing to move."),
    "on-rod": _("On the rod: {segments}."),
    "stops-title": _("Stop segments on the rod"),
    # Driveline to scale.
    "between-yoke-seats": _("Between the yoke seats: {length}"),
    "driveline-title": _("Driveline to scale"),
    "end-clearance": _("End clearance: {length}"),
    "from-above-left-turn": _("Seen from above, left turn; forward is to the left"),
    "from-above-no-turn": _("Seen from above, no turn; forward is to the left"),
    "from-above-right-turn": _("Seen from above, right turn; forward is to the left"),
    "from-left": _("Seen from the left; forward is to the left"),
    "half-bottoms": _("The longer half bottoms out"),
    "halves-apart": _("The halves come apart"),
    "halves-overlap": _("Overlap of the halves: {length}"),
    "hitch-pin-to-input": _("hitch pin to input shaft"),
    "input-above-hitch": _("input shaft above hitch"),
    "input-below-hitch": _("input shaft below hitch"),
    "longest": _("Longest: {pose}"),
    "machine-joint": _("machine's joint"),
    "machine-joint-true-angle": _("True angle, machine's joint: {angle}"),
    "pto-above-hitch": _("PTO above hitch"),
    "pto-below-hitch": _("PTO below hitch"),
    "pto-to-hitch-pin": _("PTO end to hitch pin"),
    "sharpest": _("Sharpest: {pose}"),
    "shortest": _("Shortest: {pose}"),
    "tractor-joint": _("tractor's joint"),
    "tractor-joint-true-angle": _("True angle, tractor's joint: {angle}"),
}


class DrawingWords:
    """The words of a drawing for one reader."""

    def __init__(self, reader: Reader) -> None:
        self.reader = reader

    def caption(self, code: str, **values: Value) -> str:
        """A caption with its values."""
        return filled(CAPTIONS[code], values, self.reader)

    def term(self, token: str) -> str:
        """The word of a finding or another token."""
        return terms.word(token, self.reader)

    def verdict(self, verdict: str) -> str:
        """The word of a verdict."""
        return verdicts.word(verdict, self.reader)

    def pose(self, pose: tuple[Phrase, ...]) -> str:
        """A pose of tractor and machine."""
        return ", ".join(results.phrase(part, self.reader) for part in pose)

    def advice(self, advice: Advice, show: Show) -> str:
        """An advice as a sentence, its length as `show` shows it."""
        if advice.unit == "1":
            return advice_words.text(advice, self.reader)
        return advice_words.with_amount(advice, show(advice.amount), self.reader)

    def number(self, text: str) -> str:
        """A number's text in the reader's number style."""
        return quantities.number(text, self.reader)
