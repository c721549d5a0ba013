"""What stands in the way of a rule: the sentence of each code a rule may refuse with.

A sentence names the values that come with the code; `{input}` is the plain name of the input at
fault. What is wrong comes first, then what to do.
"""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.rules.catalog.catalog import RuleRefusal
from prep.rules.phrase import Phrase
from prep.words.reader import Reader
from prep.words.rules import entries, value_names
from prep.words.rules.phrases import filled

SENTENCES: Final[dict[str, str]] = {
    # Inputs of any rule.
    "input-ambiguous": _("{input}: {entry}"),
    "input-missing": _("{input}: nothing was entered. Enter a value."),
    "input-unread": _("{input}: {entry}"),
    "not-a-choice": _("{input}: “{value}” is not a choice. Choose one of: {choices}."),
    "not-a-list": _("{input}: enter a list of values."),
    "not-a-number": _("{input}: this is not a number. Enter a number with its unit."),
    "not-whole": _("{input}: this is not a whole number. Count again."),
    "not-yes-or-no": _("{input}: answer yes or no."),
    "one-value-only": _("{input}: enter one value, not a list."),
    "out-of-range": _(
        "{input}: {value} is out of range. This calculation works from {least} to {most}. Check "
        "the value and its unit."
    ),
    "quantity-not-an-answer": _("{input}: enter a number with its unit, not yes or no."),
    "text-too-long": _("{input}: this is too long. Enter {most} characters or fewer."),
    "too-many-values": _("{input}: {count} values are too many. Enter {most} or fewer."),
    "unknown-input": _("{rule} has no input “{name}”. Use one of: {inputs}."),
    "unknown-rule": _("There is no calculator “{name}”. Check the name."),
    "unknown-rule-of-topic": _("There is no calculator “{name}”. Did you mean one of: {near}?"),
    # Limits and lists.
    "limits-swapped": _("The lower limit is above the upper limit. Swap them."),
    "no-limit": _("There is no limit. Enter a lower limit, an upper limit or both."),
    "one-value-for-each": _(
        "{input}: {count} values, but {wanted} are needed. Enter one for each."
    ),
    "window-swapped": _(
        "The model's lower limit is above its upper limit. Check the model's data."
    ),
    # Serial numbers and check characters.
    "character-like-digit": _(
        "Character {position} is “{character}”, which is not used here. It may be a {digit}. Check "
        "the plate."
    ),
    "character-not-used": _(
        "Character {position} is “{character}”. Only digits and capital letters except I, O and Q "
        "are used. Check the plate."
    ),
    "check-character-wrong": _(
        "The check character does not match ({method}), so a character was misread. Read the plate "
        "again, starting at the left."
    ),
    "check-place-not-a-letter": _(
        "Character 9 must be a letter; it is {character}. Check the plate."
    ),
    "digits-and-capitals-only": _(
        "{system} uses digits and capital letters only. Remove “{character}”."
    ),
    "digits-only": _("{system} uses digits only. Remove “{character}”."),
    "not-a-range": _("These two serials do not make a range. Check both ends."),
    "number-empty": _("The number is empty. Enter the number to check."),
    "number-length": _(
        "{input}: it must have {wanted} characters, but this has {count}. Count again."
    ),
    "serial-length": _(
        "Serials of this model have {wanted} characters; this one has {count}. Look for a missing "
        "zero, and make sure it is not the number of the gearbox or engine."
    ),
    "serial-missing": _("The serial number is missing. Enter it."),
    "serial-part-differs": _(
        "Position {place} ({part}) must read {expected}; it reads “{found}”. Check the plate."
    ),
    "serial-part-kind": _(
        "Position {place} ({part}) must be {kind}; it reads “{found}”. Check the plate."
    ),
    "serial-too-short": _(
        "The range looks at character {place}; this serial has only {count}. Check the plate."
    ),
    "serial-unlike-range": _(
        "“{part}” does not have the same pattern as the range {first} to {last}. Check the plate."
    ),
    "serial-without-characters": _(
        "{input}: there are no letters or digits. Enter the serial number."
    ),
    "serial-without-date": _(
        "The build date in this serial is not a valid date: {date}. Check the plate."
    ),
    # Driveline, joints and PTO.
    "driveline-unfit": _(
        "This driveline is too short at its longest position and too long at its shortest. Check "
        "the drawbar distance first, then order a driveline with more slide."
    ),
    "driveline-unfit-when-cut": _(
        "Cut to fit the shortest position, this driveline would be too short at the longest. Check "
        "the drawbar distance first, then order a driveline with more slide."
    ),
    "driveline-unfit-when-lengthened": _(
        "Lengthened to fit the longest position, this driveline would be too long at the shortest. "
        "Check the drawbar distance first, then order a driveline with more slide."
    ),
    "joint-bends-too-far": _(
        "With {turn} of turn, {pitch} of pitch and {lift} of lift, a joint bends past 90°. Check "
        "the distances, or enter smaller movements."
    ),
    "no-preferred-angle": _(
        "No preferred angle is published for a wide-angle joint. Use the continuous angle."
    ),
    "no-speed-tolerance": _(
        "No speed tolerance is published for PTO type 4. Use the tractor's manual."
    ),
    "single-joint-ahead": _(
        "The single joint would be ahead of the wide-angle joint. Check the length and the offset."
    ),
    "slides-too-far": _(
        "No two-piece driveline slides that far. Reduce the turn angle or ground movement, or ask "
        "the manufacturer for a three-piece one."
    ),
    "spans-swapped": _("The shortest span is longer than the longest. Swap them."),
    "tongue-too-short": _(
        "The tongue is shorter than the height of its pivot above the hitch. Measure both again."
    ),
    "yoke-seats-meet": _(
        "With {turn} of turn, {pitch} of pitch and {lift} of lift, the yoke seats meet. Check the "
        "distances, or enter smaller movements."
    ),
    # Bolts, nuts and torque.
    "adapter-cancels-wrench": _(
        "The adapter points back past your hand, so the wrench cannot turn the nut. Point the "
        "adapter forward or to the side."
    ),
    "bolt-too-long": _(
        "No turn is published for a bolt longer than 12 diameters. Find it by test, or tighten by "
        "torque."
    ),
    "hole-too-wide": _("The hole is as wide as the bearing face around it. Measure both again."),
    "inch-grade-on-metric-thread": _(
        "{thread} is a metric thread, but {grade} is an inch grade. Check the head marking: lines "
        "are inch grades, numbers are metric classes."
    ),
    "metric-class-on-inch-thread": _(
        "{thread} is an inch thread, but {grade} is a metric class. Check the head marking: lines "
        "are inch grades, numbers are metric classes."
    ),
    "no-nut-factor": _("There is no nut factor. Enter at least one, such as 0.20 for dry threads."),
    "no-nut-load": _(
        "No proof load is published for {nut} in {thread}. Use the manufacturer's figure."
    ),
    "no-strength-published": _(
        "No strength is published for {grade} in {thread}; it is published from {least} to {most}. "
        "Check the head marking and the size, or use the manufacturer's figure."
    ),
    "no-wrench-in-range": _(
        "None of these wrenches fits {torque}. Use one with a full scale from {torque} to {most}."
    ),
    "not-a-structural-size": _(
        "{grade} bolts are made from M16 to M36 in coarse pitch; {thread} is not one of them. "
        "Check the size and the head marking."
    ),
    "nut-for-other-thread": _(
        "{nut} does not fit {thread}: inch threads take nut grades, metric threads take nut "
        "classes. Check the marking on the nut."
    ),
    "past-full-scale": _("The reading is past the wrench's full scale. Check the unit of both."),
    "pitch-too-coarse": _(
        "This pitch is more than a third of the diameter; no standard thread is that coarse. Enter "
        "the distance between crests, not threads per inch."
    ),
    "stages-not-rising": _(
        "The stages must rise and end at 1. Enter each as a share of the final torque, such as "
        "0.3, 0.6, 1."
    ),
    # Uncertainty and decisions.
    "freedoms-differ": _(
        "There are {components} components but {freedoms} degrees of freedom. Enter one for each "
        "component."
    ),
    "no-component": _("Every component is 0. Enter at least one that is larger."),
    "resolution-too-coarse": _(
        "This resolution is too coarse for that uncertainty. Choose a tool that reads in steps "
        "finer than {finer_than}."
    ),
    "scale-missing": _(
        "The full scale is missing; the accuracy is stated as a share of it. Enter the full scale."
    ),
    # Deck and blades.
    "more-fitted-than-there-are": _(
        "There are more segments on the rod than in the set. Count again."
    ),
    "one-count-for-each": _(
        "The counts do not match the thicknesses. Enter one count for each thickness."
    ),
    "one-overlap-for-each-pair": _(
        "The overlaps do not match the spindles. Enter one overlap for each two neighbors."
    ),
    "stagger-too-long": _(
        "The stagger is as long as the distance between the spindles. Measure both again."
    ),
    "too-many-segments": _(
        "There are too many segments to try every stack. Enter those of one cylinder."
    ),
    # Wheels, battery, towing and hitch.
    "below-atmosphere": _(
        "The tire would be below outside air pressure. Check the temperatures, and that the "
        "pressure is a gauge pressure."
    ),
    "front-wheels-lift": _(
        "The front wheels would lift off the ground. Add front ballast or reduce the load."
    ),
    "gravity-outside-table": _(
        "Corrected to 80 °F, the gravity is {corrected}; the table runs from {least} to {most}. "
        "Read the hydrometer again, and check the temperature."
    ),
    "marks-not-rising": _(
        "Each check must come after the one before. Enter one or more, in rising order."
    ),
    "no-chain-holds": _(
        "No chain in the table holds this weight in this grade. Use a higher grade, or the chain "
        "the machine's manufacturer names."
    ),
    "no-drawbar-dimension": _(
        "No drawbar dimensions are published for PTO type 4. Use the tractor's manual."
    ),
    "outside-tire-table": _(
        "{input} is outside the tire's table, which does not reach past its ends. Ask the tire "
        "manufacturer."
    ),
    "position-for-type-1-only": _(
        "This drawbar position is published for PTO type 1 only. Use the regular position or the "
        "tractor's manual."
    ),
    "power-outside-category": _(
        "Category {category} runs from {least} to {most}; this power is {power}. Check the power "
        "and the category."
    ),
    "rear-wheels-lift": _(
        "The rear wheels would lift off the ground. Move weight to the front of the machine."
    ),
    "table-columns-differ": _(
        "{input} and {other}: enter the same number of values, one for each row of the table."
    ),
    "table-not-rising": _("{input}: enter two or more values that rise from row to row."),
    "too-fast-with-brakes": _(
        "A machine with brakes must not be towed faster than {km_h} km/h ({mph} mph). Lower the "
        "speed."
    ),
    "too-fast-without-brakes": _(
        "A machine without brakes must not be towed faster than {km_h} km/h ({mph} mph). Lower the "
        "speed or fit brakes."
    ),
    "too-heavy-for-tractor": _(
        "The machine is too heavy for this tractor at any speed. Use a heavier tractor, add "
        "ballast, or fit working brakes."
    ),
    # Oil and hydraulics.
    "cleanliness-code-rises": _(
        "The numbers of a cleanliness code cannot rise: each counts larger particles than the one "
        "before. Read the code again."
    ),
    "no-cylinder-load": _("There is no load. Enter the load of at least one cylinder."),
    "not-a-cleanliness-code": _(
        "A cleanliness code is three whole numbers. Enter it as on the report, such as 19/16/13."
    ),
    "oil-does-not-flow": _(
        "This oil no longer flows at that temperature. Enter a higher temperature."
    ),
    "oil-too-thin": _(
        "This oil is thinner than 2 cSt at that temperature, which this calculation cannot tell. "
        "Enter a lower temperature."
    ),
    "particle-counts-rise": _(
        "A larger particle size cannot have a higher count than a smaller one. Check the counts."
    ),
    "read-stick-rested": _(
        "On this model the dipstick is read resting on the hole, not screwed in. Read it again "
        "that way."
    ),
    "read-stick-screwed-in": _(
        "On this model the dipstick is read screwed in. Read it again that way."
    ),
    "rod-not-thinner": _("The rod is not thinner than the bore. Measure both again."),
    "same-temperature": _(
        "Both temperatures are the same. Enter viscosities at two different temperatures."
    ),
    "scale-number-too-large": _(
        "Scale numbers of a cleanliness code end at {most}. Read the code again."
    ),
    "size-not-in-newer-chart": _(
        "The newer chart has no size {dash}. Use the older chart or the manufacturer's figure."
    ),
    "stick-marks-swapped": _("The full mark is not above the low mark. Check the model's data."),
    "viscosities-swapped": _(
        "Oil thins as it warms, but these viscosities do not. Check whether they are swapped."
    ),
}


def text(refusal: RuleRefusal, reader: Reader) -> str:
    """Why a rule refused, and what to do, in the reader's language."""
    return sentence(refusal.field, refusal.phrase, reader)


def sentence(field: str, why: Phrase, reader: Reader) -> str:
    """The sentence of a refusal of the input called `field`."""
    nested = {
        name: entries.sentence(value, reader)
        for name, value in why.values.items()
        if isinstance(value, Phrase)
    }
    plain = {name: value for name, value in why.values.items() if name not in nested}
    named = value_names.value_name(field, reader)
    return filled(SENTENCES[why.code], plain, reader, input=named, **nested)
