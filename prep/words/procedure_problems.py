"""What is wrong with a document that cannot be published, in words.

Whoever writes a document reads these, so fields and codes are given as the document has them.
"""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.record.procedure.problems import Problem
from prep.words.reader import Reader, say

SENTENCES: Final[dict[str, str]] = {
    "yaml-syntax": _("Line {line}, column {column} is not valid YAML. ({detail})"),
    "yaml-unreadable": _("The document is not valid YAML. ({detail})"),
    "field-unfit": _("A field does not fit. ({detail})"),
    "document-empty": _("A procedure needs at least one section and one model."),
    "step-twice": _("Two steps have this code. Rename one."),
    "line-twice": _("Two lines of the step have the same code. Rename one."),
    "step-without-lines": _("The step has no line to answer. Add one."),
    "step-after-later": _("“after” names “{step}”, which is not an earlier step."),
    "step-after-tractor": _(
        "“after” names “{step}”, which needs the buyer's tractor. No unit would ever be ready for "
        "stock."
    ),
    "caution-unknown": _("The caution “{caution}” is not among the cautions of the document."),
    "work-not-safe": _(
        "The work “{work}” needs “{states}” first. Put a step that makes it in “after”."
    ),
    "work-without-caution": _("The work “{work}” needs a caution. Add one."),
    "safety-skippable": _(
        "The step makes the machine safe for later work, so it needs “skip: never”."
    ),
    "safety-conditional": _(
        "The step makes the machine safe for later work, so it always applies. Remove “when”."
    ),
    "quantity-and-choices": _("Give a quantity or choices, not both."),
    "quantity-unknown": _("There is no quantity “{quantity}”. Use one of: {known}."),
    "line-after-later": _("“after” names “{line}”, which is not an earlier line of the step."),
    "limit-form": _(
        "A limit has one form: “nominal”, “at_least” and “at_most” (one or both), or “one_of”."
    ),
    "limit-not-of-line": _("Use “one_of” with choices, and the other forms with a quantity."),
    "limit-not-a-choice": _("“one_of” accepts a word that is not among the choices."),
    "limit-without-source": _("The limit names no source. Add one."),
    "limit-tolerance": _("Give “tolerance”, or “plus” and “minus”, not both."),
    "limit-value": _("“{text}” is not a value of {quantity} with its unit."),
    "guard-range": _("“guard” is from 0 to 3 times the expanded uncertainty."),
    "guard-not-a-number": _("“guard” is “{guard}”, which is not a number."),
    "guarded-without-instrument": _(
        "A guarded limit needs an instrument. Without one there is no uncertainty to guard against."
    ),
    "limit-not-the-manufacturers": _(
        "“basis: manufacturer” does not fit a limit that {rule} computes. Say calculated, standard "
        "or common-practice."
    ),
    "model-data-missing": _("Model {model} has no “{name}” in its data."),
    "reading-not-earlier": _("“{path}” is not an earlier reading."),
    "limit-part-unknown": _("“{path}” is none of limit.low, limit.high and limit.middle."),
    "rule-unknown": _("There is no rule “{rule}”."),
    "rule-input-unknown": _("The rule {rule} has no input “{name}”."),
    "rule-input-missing": _("The rule {rule} needs the input “{name}”."),
    "rule-field-unknown": _("The rule {rule} has no field “{name}”. Use one of: {known}."),
    "rule-field-unwanted": _("The rule {rule} gives one value. Remove “field”."),
}


def problem_text(problem: Problem, reader: Reader) -> str:
    """What is wrong with a part of a document, as a sentence without its path."""
    return say(reader, SENTENCES[problem.code], **problem.values)


def problem_with_path(problem: Problem, reader: Reader) -> str:
    """The same, after the path of the part."""
    return f"{problem.path}: {problem_text(problem, reader)}"
