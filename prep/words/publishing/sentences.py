"""What is wrong with a document, a sentence a code: what is wrong, then what to do.

Whoever writes a document reads these, so fields and codes are given as the document has them.
"""

from typing import Final

from django.utils.translation import gettext_noop as _

# The text itself.
YAML: Final[dict[str, str]] = {
    "yaml-alias": _("There is no anchor “{name}” before this. Correct the name."),
    "yaml-character": _(
        "Nothing may begin with this character here. Indent with spaces, not tabs, and put a text "
        "that begins so in quotes."
    ),
    "yaml-deep": _("The document is nested deeper than {most} levels. Flatten it."),
    "yaml-empty": _("The document is empty. Fill it in, starting from a sample."),
    "yaml-encoding": _(
        "Line {line} is not text in UTF-8. Save the file as UTF-8, then send it again."
    ),
    "yaml-key": _("The name of a field must be a text. Write it before a colon."),
    "yaml-key-twice": _("“{name}” stands here a second time. Remove or rename one."),
    "yaml-long": _("The document has more than {most} kB. Split it."),
    "yaml-parts": _("The document has more than {most} parts. Split it."),
    "yaml-several": _("A second document begins here. Put it into a file of its own."),
    "yaml-syntax": _("This is not valid YAML ({detail}). Compare the line with its neighbors."),
    "yaml-tag": _("A document has no tags such as “{tag}”. Remove it."),
    "yaml-unprintable": _("The character {character} cannot be printed. Remove it."),
}

# Fields and their values.
FIELDS: Final[dict[str, str]] = {
    "code-unfit": _(
        "“{word}” does not fit a code. Use letters, digits, hyphens and underscores, and begin "
        "with a letter or a digit."
    ),
    "data-name-unfit": _(
        "“{word}” does not fit the name of a value. Use letters, digits, hyphens and underscores."
    ),
    "field-missing": _("“{name}” is missing. Add it."),
    "field-unknown": _("There is no field “{name}” here."),
    "guard-unfit": _("“{word}” is not a factor of a guard band. Write a number such as 0.83."),
    "kind-wrong": _("This must be {wanted}. Change it."),
    # The same of a text that can be repeated.
    "kind-wrong-word": _("“{word}” stands here, and this must be {wanted}. Change it."),
    "list-length": _("This list must have {count} members. Add or remove some."),
    "not-a-choice": _("“{word}” is not one of the choices."),
    "number-range": _("“{word}” is out of range. Write a whole number from {least} to {most}."),
    "position-unfit": _("“{word}” does not fit a position. Use words without points."),
    "text-blank": _("This is blank. Write something, or remove the field."),
    "text-long": _("This is longer than {most} characters. Shorten it."),
    "value-empty": _("Nothing stands here. Write a value, or remove the field."),
    # What several fields say together.
    "built-part": _("“{kind}” must name a part of {digits} digits. Name another part."),
    "built-twice": _("“built” names a date, or a year and a day of it. Remove one of the two."),
    "from-or-options": _("Give either “from” with a path, or “options” with “otherwise”."),
    "from-or-rule": _("Give either “from” with a path, or “rule” with its inputs."),
    "part-length": _("A length runs from 1 to {most}. Write one such as 3 or [1, 6]."),
    "part-text-or-length": _("A part has either a text or a length. Give one of the two."),
    "parts-unnamed": _("A scheme needs parts, each with a name of its own. Rename one."),
    "parts-vary": _("Only one part may vary in length. Give the others one length each."),
    "range-empty": _("No serial lies from {first} to {last}. Correct the ends."),
    "range-places": _("“characters” are two places such as [9, 11], without a part. Correct them."),
    "range-width": _("Both ends must have the {count} characters looked at. Correct them."),
    "range-without-end": _("A range of serials needs both ends. Add the one that is missing."),
}

# Values with a unit.
VALUES: Final[dict[str, str]] = {
    "tolerance-negative": _("A tolerance is not below zero. Write “{value}” without the minus."),
    "tolerance-percent": _("“{value}” is not a tolerance. Write one from 0 % to 100 %."),
    "value-implausible": _(
        "“{value}” is beyond anything on a machine, from {least} to {most}. Check the number and "
        "its unit."
    ),
    "value-unclear": _("“{value}” can mean more than one thing. Write it in full."),
    "value-unit": _("“{unit}” in “{value}” is not a unit of {quantity}. Correct the unit."),
    "value-unread": _(
        "“{value}” is not a value of {quantity} with its unit. Write it as a number and a unit."
    ),
    "value-negative": _("“{value}” is below zero, and {quantity} is not. Remove the minus."),
    "input-choice": _("“{value}” is not a choice for “{name}”."),
    "input-list": _("“{name}” takes a list. Name a list of the model's data."),
    "input-many": _("“{name}” takes at most {most} values. Shorten the list."),
    "input-not-a-list": _("“{name}” takes one value, not a list. Name one value."),
    "input-number": _("“{name}” takes a number with its unit, not yes or no. Write one."),
    "input-range": _(
        "“{value}” is out of range for “{name}”, which goes from {least} to {most}. Check the "
        "number and its unit."
    ),
    "input-text": _("“{name}” takes a text of at most {most} characters. Write one."),
    "input-yes-no": _("“{name}” takes yes or no. Write one of the two."),
}

# The content of a procedure.
PROCEDURE: Final[dict[str, str]] = {
    "advice-without-quantity": _("An advice is about a measured value. Remove it, or add one."),
    "advice-without-rule": _("An advice needs a rule. Name one under “rule”."),
    "caution-unknown": _("There is no caution “{caution}” in the document."),
    "choice-not-earlier": _("“{path}” is no choice that is made before this."),
    "choices-never-agree": _(
        "No choice of “{path}” is one of this line's. Correct one of the two."
    ),
    "data-not-a-choice": _(
        "“{name}” of model {model} is “{word}”, which is no choice of the line."
    ),
    "data-unknown": _("No data has a value “{name}”."),
    "expects-without-reading": _("“expects” is about a measured value. Remove it, or add one."),
    "extremes-unnamed": _("Name the box for the lowest, the one for the highest, or both."),
    "extremes-with-positions": _(
        "“extremes” are boxes of their own. Remove the positions, or make a line of each."
    ),
    "extremes-without-reading": _("Only what is measured has a lowest and a highest. Remove it."),
    "fasteners-computed": _(
        "The number of fasteners is stated, or read “from” data. Remove the rule."
    ),
    "fasteners-number": _("“{value}” is no number of fasteners, which is 1 to {most}. Correct it."),
    "guard-range": _("“guard” is from 0 to 3 times the expanded uncertainty. Correct it."),
    "guarded-without-instrument": _(
        "A guarded limit needs an instrument. Without one there is no uncertainty to guard "
        "against. Add it, or decide simply."
    ),
    "instrument-quantity": _("No {kind} measures {quantity}."),
    "instrument-unknown": _(
        "No yard has a tool of the kind “{kind}”. Bring one in first, or correct the kind."
    ),
    "instrument-without-quantity": _(
        "An instrument measures a quantity, and this line has none. Remove one of the two."
    ),
    "limit-crossed": _("The lower limit is above the upper one. Swap or correct them."),
    "limit-form": _(
        "A limit has one form: “nominal”, “at_least” and “at_most” (one or both), or “one_of”. "
        "Remove the others."
    ),
    "limit-missing": _("“{path}” needs a limit with an end, and this line has none. Add it."),
    "limit-not-a-choice": _("“{word}” is not among the choices of the line."),
    "limit-not-of-line": _("Use “one_of” with choices, and the other forms with a quantity."),
    "limit-not-the-manufacturers": _(
        "“basis: manufacturer” does not fit a limit that {rule} computes."
    ),
    "limit-of-itself": _("“{path}” is the limit itself. Name a value that is known before."),
    "limit-part-unknown": _("“{path}” is no part of a limit."),
    "limit-tolerance": _("Give “tolerance”, or “plus” and “minus”, not both."),
    "limit-unit": _("“{unit}” is not a unit of {quantity}. Name one that is."),
    "limit-unit-unused": _("Only a limit that a rule computes names its unit here. Remove it."),
    "line-after-later": _("“after” names “{line}”, which is not an earlier line of the step."),
    "line-of-every-unit": _(
        "A step that makes the machine safe, or has no other line, asks this of every unit."
    ),
    "line-twice": _("Two lines of the step have the code “{line}”. Rename one."),
    "lines-many": _("The procedure has more than {most} lines. Split it."),
    "highest-missing": _(
        "The limit has an upper end, of which the lowest says nothing. Ask for the highest, too."
    ),
    "point-missing": _("“{position}” has no point on the schematic. Give each position one."),
    "point-of-no-position": _("“{position}” is no position of the line, so it has no point."),
    "point-unfit": _(
        "“{position}” takes two whole numbers from 0 to 100: per cent across the view, and down."
    ),
    "lowest-missing": _(
        "The limit has a lower end, of which the highest says nothing. Ask for the lowest, too."
    ),
    "member-twice": _("“{member}” stands twice in the list. Remove one."),
    "model-data-missing": _("Model {model} has no “{name}” in its data."),
    "model-data-unfit": _("“{name}” of model {model} is “{datum}”. {why}"),
    "model-unknown": _("No model “{model}” is published. Publish it first, or correct the code."),
    "models-many": _("The procedure is for more than {most} models. Split it."),
    "models-missing": _("A procedure needs at least one model. Add it."),
    "option-both": _("“{option}” is both wanted and excluded. Remove one of the two."),
    "option-unknown": _("No model of the procedure has the option “{option}”."),
    "path-other-quantity": _(
        "“{path}” is a {there}, and a {quantity} is needed here. Name another value."
    ),
    "path-unknown": _("“{path}” leads nowhere."),
    "quantity-and-choices": _("Give a quantity or choices, not both. Remove one of the two."),
    "quantity-unknown": _("There is no quantity “{word}”."),
    "reading-not-earlier": _("“{path}” is no reading that is taken before this."),
    "reading-position": _("“{path}” does not say which position of this line it is."),
    "rule-field-missing": _("The rule {rule} gives several values. Say which under “field”."),
    "rule-field-unknown": _("The rule {rule} has no field “{name}”."),
    "rule-field-unwanted": _("The rule {rule} gives one value. Remove “field”."),
    "rule-implausible": _(
        "For model {model} the rule {rule} gives a value beyond {least} to {most}. Check what goes "
        "in."
    ),
    "rule-input-missing": _("The rule {rule} needs the input “{name}”. Add it under “with”."),
    "rule-input-unknown": _("The rule {rule} has no input “{name}”."),
    "rule-no-number": _("What the rule {rule} gives is no number. Use another rule or field."),
    "rule-other-quantity": _(
        "The rule {rule} gives a {there}, and the line takes a {quantity}. Use another rule or "
        "field."
    ),
    "rule-refuses": _("For model {model} the rule {rule} cannot be computed. {why}"),
    "rule-unknown": _("There is no rule “{rule}”."),
    "safety-conditional": _(
        "The step makes the machine safe for later work, so it always applies. Remove “when”."
    ),
    "safety-skippable": _(
        "The step makes the machine safe for later work, so it may not be skipped."
    ),
    "section-twice": _("Two sections have the code “{section}”. Rename one."),
    "section-without-steps": _("The section has no step. Add one, or remove the section."),
    "sections-missing": _("A procedure needs at least one section. Add it."),
    "serials-claimed": _(
        "Model {model} has serials that {other}, revision {revision}, is for as well. Part the "
        "ranges of serials, or publish a revision of that procedure."
    ),
    "serials-none": _("No serial of model {model} lies in this range. Correct the ends."),
    "serials-part": _("The serials of model {model} have no such part."),
    "setting-with-advice": _(
        "Nothing is measured where a tool is set, so nothing is corrected. Remove the advice."
    ),
    "setting-without-instrument": _("A setting is one of a tool. Add the instrument."),
    "setting-without-quantity": _("A setting needs the quantity that the tool is set in. Add it."),
    "step-after-later": _("“after” names “{step}”, which is not an earlier step."),
    "step-after-tractor": _(
        "“after” names “{step}”, which needs the buyer's tractor. No unit would ever be ready for "
        "stock. Remove it, or say “tractor: true”."
    ),
    "step-twice": _("Two steps have the code “{step}”. Rename one."),
    "step-without-lines": _("The step has no line to answer. Add one."),
    "tolerance-without-nominal": _("A tolerance needs a “nominal” value. Add it."),
    "tractor-data-unfit": _("“{name}” of tractor {model} is “{datum}”. {why}"),
    "tractor-data-unknown": _("No tractor has “{name}” in its data."),
    "when-empty": _("The condition names no value. Add one, or remove it."),
    "when-value": _("No model of the procedure has “{value}” as its “{name}”."),
    "who-missing": _("Nobody may do this step. Name a role."),
    "work-not-safe": _(
        "The work “{work}” needs “{states}” first. Put a step that makes it in “after”."
    ),
    "work-without-caution": _("The work “{work}” needs a caution. Add one."),
}

# The content of a model or a tractor.
MODEL: Final[dict[str, str]] = {
    "revision-not-newer": _(
        "Revision {revision} is in force and never changes. Publish revision {following}."
    ),
    "data-missing": _("A model needs at least one value in its data. Add it."),
    "manufacturer-unknown": _(
        "“{wanted}” is not in the list of manufacturers. Choose one that is, or add it first."
    ),
    "model-other-sort": _("“{model}” is on record as another sort. Use another code."),
    "procedure-broken": _(
        "{procedure}, revision {revision}, step “{step}”, would no longer work. {broken}"
    ),
}

SENTENCES: Final[dict[str, str]] = {**YAML, **FIELDS, **VALUES, **PROCEDURE, **MODEL}
