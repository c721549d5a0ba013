"""Refusals of the record in the reader's language."""

from dataclasses import dataclass
from typing import Any, Final

from django.utils.translation import gettext_noop as _

from prep.record.refusal import Refusal
from prep.words import entries, rule_refusals, rule_titles
from prep.words.reader import Reader, say

CANNOT_CALCULATE: Final = _("{rule} cannot be calculated. {reason}")


@dataclass(frozen=True)
class Said:
    """A refusal as a page shows it."""

    code: str
    text: str
    details: dict[str, Any]


def said(refusal: Refusal | None, reader: Reader) -> Said | None:
    """A refusal with its text in the reader's language."""
    if refusal is None:
        return None
    return Said(refusal.code, refusal_text(refusal, reader), refusal.details)


def refusal_text(refusal: Refusal, reader: Reader) -> str:
    """Why a command or a read was refused.

    What a rule or the reader of entries found comes as a phrase in the detail `why`; the other
    refusals still bring their sentence with them.
    """
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
