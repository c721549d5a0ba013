"""Refusals in words: what is wrong, and what to do next."""

from typing import Final

from django.utils.translation import gettext_noop

from prep.record.refusal import Refusal
from prep.words.faults import fault_text
from prep.words.reader import Reader, say
from prep.words.rules import entries
from prep.words.rules import refusals as rule_refusals
from prep.words.rules import titles as rule_titles

CANNOT_CALCULATE: Final = gettext_noop("{rule} cannot be calculated. {reason}")


def refusal_text(refusal: Refusal, reader: Reader, *, by_label: bool = True) -> str:
    """A refusal as a sentence or several in the reader's language.

    What a rule or the reader of entries found comes as a phrase in the detail `why`. People know a
    field by its label, programs by its name (`by_label=False`).
    """
    if refusal.code == "input-unfit":
        faults = refusal.details["faults"]
        return " ".join(fault_text(fault, reader, by_label=by_label) for fault in faults)
    why = refusal.details.get("why")
    if why is None:
        return refusal.text
    if refusal.code in {"ambiguous", "unreadable"}:
        return entries.sentence(why, reader)
    reason = rule_refusals.sentence(refusal.field, why, reader)
    if "rule" not in refusal.details:
        return reason
    title = rule_titles.title(refusal.details["rule"], reader)
    return say(reader, CANNOT_CALCULATE, rule=title, reason=reason)
