"""Refusals in words: what is wrong, and what to do next."""

from collections.abc import Callable
from datetime import date, datetime
from typing import Any, Final
from zoneinfo import ZoneInfo

from django.utils.translation import gettext_noop

from prep.record.refusal import Refusal
from prep.words.dates import moment, short_day, wait
from prep.words.documents.label_sizes import size_title
from prep.words.faults import fault_text
from prep.words.hazards import state_text, work_text
from prep.words.lists import all_of, one_of
from prep.words.permissions import holder_text
from prep.words.publishing.problems import document_text
from prep.words.reader import Reader, say
from prep.words.readiness import in_short, shown_reasons
from prep.words.refusal_sentences import away, imports, inputs, missing, people, requests, state
from prep.words.registration import item_name, missing_items
from prep.words.rules import entries, quantities
from prep.words.rules import refusals as rule_refusals
from prep.words.rules import titles as rule_titles

CANNOT_CALCULATE: Final = gettext_noop("{rule} cannot be calculated. {reason}")

TITLES: Final = {
    "input-unfit": gettext_noop("Some fields must be corrected"),
    "ambiguous": gettext_noop("The entry can be read in more than one way"),
    "unreadable": gettext_noop("The entry cannot be read"),
    "not-allowed": gettext_noop("Not allowed"),
    "not-allowed-there": gettext_noop("Not allowed"),
    "not-ready": gettext_noop("Not ready for release"),
    "command-reused": gettext_noop("Idempotency key used for something else"),
    "changed-meanwhile": gettext_noop("Changed meanwhile"),
    "content-changed": gettext_noop("Changed since it was shown"),
    "caution-first": gettext_noop("Read the cautions first"),
    "same-person": gettext_noop("A second person is needed"),
    "key-missing": gettext_noop("Idempotency-Key missing"),
    "precondition-missing": gettext_noop("If-Match missing"),
    "database-away": gettext_noop("Not available at the moment"),
    "database-busy": gettext_noop("Busy at the moment"),
    "disk-full": gettext_noop("Nothing can be recorded at the moment"),
    "storage-closed": gettext_noop("Nothing can be recorded at the moment"),
}

SENTENCES: Final[dict[str, str]] = {
    **away.SENTENCES,
    **imports.SENTENCES,
    **inputs.SENTENCES,
    **missing.SENTENCES,
    **people.SENTENCES,
    **requests.SENTENCES,
    **state.SENTENCES,
}

# Refusals whose words are those of the faults, of the reader of entries, or of a rule.
SAID_ELSEWHERE: Final = frozenset(
    {
        "input-unfit",
        "document-unfit",
        "ambiguous",
        "unreadable",
        "rule-refused",
        "serial-unlike-range",
        "no-such-rule",
    }
)

# Lists of which one is enough; of all others, every item is meant.
ALTERNATIVES: Final = frozenset(
    {"allowed", "closest", "known", "models", "positions", "roles", "sizes"}
)


def _marked(text: str, reader: Reader) -> str:
    """A text that was marked where it is declared, such as the title of a column."""
    return say(reader, text)


# What is a token in the details, and how it is called.
_CALLED: Final[dict[str, Callable[[Any, Reader], str]]] = {
    "columns": _marked,
    "quantity": quantities.name,
    "roles": holder_text,
    "rule": rule_titles.title,
    "states": state_text,
    "work": work_text,
}
_CALLED_IN: Final[dict[tuple[str, str], Callable[[Any, Reader], str]]] = {
    ("registration-incomplete", "missing"): item_name,
    ("no-such-size", "sizes"): size_title,
    ("role-held", "role"): holder_text,
    ("role-not-held", "role"): holder_text,
    ("too-many-attempts", "seconds"): wait,
}


def refusal_text(refusal: Refusal, reader: Reader, *, by_label: bool = True) -> str:
    """A refusal as a sentence or several in the reader's language.

    What a rule or the reader of entries found comes as a phrase in the detail `why`. People know a
    field by its label, programs by its name (`by_label=False`).
    """
    if refusal.code == "input-unfit":
        faults = refusal.details["faults"]
        return " ".join(fault_text(fault, reader, by_label=by_label) for fault in faults)
    if refusal.code == "document-unfit":
        return document_text(refusal, reader)
    if "why" in refusal.details:
        return _why(refusal, reader)
    values = {name: _value(refusal, name, reader) for name in refusal.details}
    return say(reader, SENTENCES[refusal.code], **values)


def refusal_details(refusal: Refusal, reader: Reader) -> dict[str, Any]:
    """The details of a refusal as screens and programs get them."""
    details = dict(refusal.details)
    if refusal.code == "registration-incomplete":
        details["missing"] = missing_items(details["missing"], reader)
    if refusal.code == "not-ready":
        details["reasons"] = shown_reasons(details["reasons"], reader)
    return details


def title(code: str, reader: Reader) -> str:
    """A few words for any refusal of a code."""
    if code in TITLES:
        return say(reader, TITLES[code])
    return code.replace("-", " ").capitalize()


def _why(refusal: Refusal, reader: Reader) -> str:
    why = refusal.details["why"]
    if refusal.code in {"ambiguous", "unreadable"}:
        return entries.sentence(why, reader)
    reason = rule_refusals.sentence(refusal.field, why, reader)
    if "rule" not in refusal.details:
        return reason
    name = rule_titles.title(refusal.details["rule"], reader)
    return say(reader, CANNOT_CALCULATE, rule=name, reason=reason)


def _value(refusal: Refusal, name: str, reader: Reader) -> str:
    """A detail as it stands in a sentence."""
    value = refusal.details[name]
    if (refusal.code, name) == ("not-ready", "reasons"):
        return in_short(value, reader)
    called = _CALLED_IN.get((refusal.code, name)) or _CALLED.get(name)
    if isinstance(value, list | tuple):
        items = [called(item, reader) if called else _plain(item, reader) for item in value]
        return (one_of if name in ALTERNATIVES else all_of)(items, reader)
    return called(value, reader) if called else _plain(value, reader)


def _plain(value: Any, reader: Reader) -> str:
    if isinstance(value, datetime):
        return moment(value.astimezone(ZoneInfo(reader.time_zone)), reader)
    return short_day(value.isoformat(), reader) if isinstance(value, date) else str(value)
