"""What to do about a reading: the sentence of each advice, in the unit the person typed."""

from collections.abc import Mapping
from typing import Final

from django.utils.translation import gettext_noop as _

from prep.rules.catalog.advice import Advice
from prep.rules.phrase import Amount
from prep.rules.quantities.quantity import unit as unit_called
from prep.words.reader import Reader
from prep.words.rules import quantities
from prep.words.rules.phrases import filled

DIGITS: Final = 3  # of an amount to turn, add or move; nobody sets a wrench closer

SENTENCES: Final[dict[str, str]] = {
    # Readings that want more or less; the procedure may say in its own words how.
    "as-procedure-says": _("{how} by {amount}, then measure again."),
    "loosen-and-retighten": _(
        "It is {amount} too tight: loosen it, check the threads and washer, replace anything "
        "stretched, and torque it again in stages."
    ),
    "lower-reading": _("Lower it by {amount}, then measure again."),
    "raise-reading": _("Raise it by {amount}, then measure again."),
    "tighten-to-middle": _(
        "Tighten by {amount} more with a smooth pull, to the middle of the limit, then measure "
        "again."
    ),
    # Driveline and drawbar.
    "cut-driveline": _(
        "With the drawbar set, engine off and key out, cut {amount} off each tube and the same off "
        "each guard, then deburr, grease, and check the longest and shortest positions again."
    ),
    "driveline-fits": _("Cut nothing: at the longest position these halves overlap by {amount}."),
    "lengthen-driveline": _(
        "Fit tubes and guards {amount} longer on each half, then deburr, grease, and check the "
        "longest and shortest positions again."
    ),
    "pull-drawbar-out": _(
        "Pull the drawbar out by {amount}, or to the nearest hole, and lock it in the middle. Do "
        "not cut a driveline before the drawbar is set."
    ),
    "push-drawbar-in": _(
        "Push the drawbar in by {amount}, or to the nearest hole, and lock it in the middle. Do "
        "not cut a driveline before the drawbar is set."
    ),
    # Fasteners and blades.
    "fit-matched-blades": _(
        "Fit a matched pair from the manufacturer and do not grind a new blade: these differ by "
        "{amount}."
    ),
    "redo-blade-bolt": _(
        "Take the blade bolt off, replace anything stretched, and tighten to no more than {amount}."
    ),
    "redo-carrier-nut": _(
        "Take the carrier nut off, replace anything stretched, and tighten to no more than "
        "{amount}."
    ),
    "replace-yielded-bolt": _(
        "Replace the bolt and the nut. The bolt yields at about {amount} and was turned past that, "
        "so it no longer holds what its marking says. Do not back it off and reuse it."
    ),
    "tighten-blade-bolt": _("Tighten the blade bolt to {amount} or more."),
    "tighten-carrier-nut": _("Tighten the carrier nut to {amount} or more."),
    "tighten-to-next-slot": _(
        "Tighten the carrier nut to the next slot; never back it off. If that takes more than "
        "{amount}, take it off and start over."
    ),
    # Deck.
    "lengthen-rod": _(
        "Lengthen the rod: turn it {amount} turns {direction}, seen from the end with the {hand}."
    ),
    "lengthen-rods": _(
        "Lengthen both rods: turn each {amount} turns {direction}, seen from the end with the "
        "{hand}."
    ),
    "put-segments-on": _(
        "With the deck blocked and the pressure off, put on the rod: {count} × {amount} segment."
    ),
    "raise-deck": _(
        "Raise the deck by {amount}, unless the manufacturer allows less: blades this low scalp "
        "and wear."
    ),
    "shorten-rod": _(
        "Shorten the rod: turn it {amount} turns {direction}, seen from the end with the {hand}."
    ),
    "shorten-rods": _(
        "Shorten both rods: turn each {amount} turns {direction}, seen from the end with the "
        "{hand}."
    ),
    "take-segments-off": _(
        "With the deck blocked and the pressure off, take off the rod: {count} × {amount} segment."
    ),
    # Wheels, ballast, emblem and lamps.
    "add-front-ballast": _("Add {amount} of ballast at the front, within the axle's rating."),
    "lower-emblem": _("Lower the emblem by {amount}."),
    "lower-lamp": _("Lower the lamp by {amount}."),
    "raise-emblem": _("Raise the emblem by {amount}."),
    "raise-lamp": _("Raise the lamp by {amount}."),
    "stop-inflating": _(
        "Stop and stand clear. Let out all {amount} through the hose, lubricate both beads and the "
        "rim, center the tire and start over, in a cage or with the wheel locked down. Trained "
        "people only."
    ),
    "turn-emblem": _("Turn the emblem {amount} until it faces straight back."),
    # Oil.
    "add-oil": _("Add {amount} a little at a time, let it settle, and read again."),
    "find-leak": _(
        "Stop, lower to the ground and relieve the pressure. Look for the leak with cardboard or "
        "wood, never your hand: {amount} more left the tractor than the circuit holds."
    ),
    "let-oil-out": _("Let out {amount} with the oil cool, and read again."),
    "no-grade-for-cold": _("No SAE grade is rated for {amount}. Ask the manufacturer."),
    "purge-air": _(
        "Keep the locks in and everybody clear. Cycle the cylinders, hold the lever at the end of "
        "the stroke, and read again: {amount} of oil still has to go in."
    ),
    "use-thinner-oil": _(
        "Ask the manufacturer for an oil of grade {grade}: it must still flow at {amount}."
    ),
}


def text(advice: Advice, reader: Reader, typed_units: Mapping[str, str] | None = None) -> str:
    """What to do, in the reader's language.

    `typed_units` has the symbol of the unit the person typed, by quantity: the amount is shown in
    it, or in a unit of its system; without one, in the reader's.
    """
    quantity = unit_called(advice.unit).quantity
    unit = quantities.unit_for(quantity, advice.amount, typed_units or {}, reader)
    shown = Amount(advice.amount, advice.unit, advice.span and quantity == "temperature")
    return with_amount(advice, quantities.amount(shown, reader, DIGITS, unit.symbol), reader)


def with_amount(advice: Advice, amount: str, reader: Reader) -> str:
    """What to do, with its amount as it is already shown."""
    return filled(SENTENCES[advice.do], advice.values, reader, amount=amount)
