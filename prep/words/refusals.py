"""Refusals in words: what is wrong, and what to do next."""

from typing import Final

from django.utils.translation import gettext_noop

from prep.record.refusal import Refusal
from prep.words.faults import fault_text
from prep.words.flags import reason_text
from prep.words.reader import Reader, say, say_count
from prep.words.rules import entries
from prep.words.rules import refusals as rule_refusals
from prep.words.rules import titles as rule_titles

CANNOT_CALCULATE: Final = gettext_noop("{rule} cannot be calculated. {reason}")

NOT_READY: Final = gettext_noop("Not ready for release. {reason}")
NOT_READY_AND: Final = (
    gettext_noop("Not ready for release. {reason} And {count} more."),
    gettext_noop("Not ready for release. {reason} And {count} more reasons."),
)


def refusal_text(refusal: Refusal, reader: Reader, *, by_label: bool = True) -> str:
    """A refusal as a sentence or several in the reader's language.

    What a rule or the reader of entries found comes as a phrase in the detail `why`. People know a
    field by its label, programs by its name (`by_label=False`).
    """
    if refusal.code == "input-unfit":
        faults = refusal.details["faults"]
        return " ".join(fault_text(fault, reader, by_label=by_label) for fault in faults)
    if refusal.code == "not-ready":
        return _not_ready(refusal, reader)
    return _why_text(refusal, reader) if "why" in refusal.details else refusal.text


def _not_ready(refusal: Refusal, reader: Reader) -> str:
    first, *others = (reason_text(reason, reader) for reason in refusal.details["reasons"])
    if not others:
        return say(reader, NOT_READY, reason=first)
    return say_count(reader, *NOT_READY_AND, len(others), reason=first)


def _why_text(refusal: Refusal, reader: Reader) -> str:
    """The refusal of a rule, or of the reader of entries."""
    why = refusal.details["why"]
    if refusal.code in {"ambiguous", "unreadable"}:
        return entries.sentence(why, reader)
    reason = rule_refusals.sentence(refusal.field, why, reader)
    if "rule" not in refusal.details:
        return reason
    title = rule_titles.title(refusal.details["rule"], reader)
    return say(reader, CANNOT_CALCULATE, rule=title, reason=reason)
