"""Why a unit is not ready, in words: each reason, and what is still to be done about it."""

from collections.abc import Mapping, Sequence
from typing import Any, Final

from django.utils.translation import gettext_noop as _

from prep.record.unit.readiness import Reason
from prep.words.lists import all_of
from prep.words.reader import Reader, say
from prep.words.unit.flags import kept_flag_text
from prep.words.unit.step_statuses import status_text

SENTENCES: Final[dict[str, str]] = {
    "joined-away": _("This record ended; the machine's record goes on as that of {serial}."),
    "model-of-another": _(
        "The plate says {manufacturer}, but {model} is another manufacturer's. Correct the model."
    ),
    "no-model": _("The model is not set yet."),
    "no-sheet": _("Preparation has not been started."),
    "on-hold": _("On hold: {reason}"),
    "release-again": _(
        "The release was withdrawn: “{reason}” A service manager has to release it again."
    ),
    "shortage": _("Missing: {part}."),
    "sheet-does-not-fit": _(
        "“{title}”, revision {revision}, is not for serial number {serial} of this model. Move the "
        "sheet to a procedure that is."
    ),
    "step-begun": _("{step_title}: still open: {boxes}."),
    "step-open": _("{step_title}: {status}."),
    "step-waits": _("{step_title}: waits for {titles}."),
}

# A missing part, by whether several are missing and whether it is known when they come.
SHORTAGES: Final[dict[tuple[bool, bool], str]] = {
    (False, False): SENTENCES["shortage"],
    (False, True): _("Missing: {part}, expected {expected}."),
    (True, False): _("Missing: {count} × {part}."),
    (True, True): _("Missing: {count} × {part}, expected {expected}."),
}

FIRST_OF_SEVERAL: Final = _("{first} And {count} more.")


def reason_text(reason: Mapping[str, Any], reader: Reader) -> str:
    """A reason, as `Reason.stored` gives it, as a sentence."""
    code, values = reason["code"], dict(reason["values"])
    if code == "flag-open":
        return kept_flag_text(values["about"], reader)
    if code == "shortage":
        text = SHORTAGES[values["count"] != 1, bool(values["expected"])]
        return say(reader, text, **values)
    if "status" in values:
        values["status"] = status_text(values["status"], reader)
    for name in ("boxes", "titles"):
        if name in values:
            values[name] = all_of(values[name], reader)
    return say(reader, SENTENCES[code], **values)


def shown_reasons(
    reasons: Sequence[Mapping[str, Any]] | Sequence[Reason], reader: Reader
) -> list[dict[str, str]]:
    """Reasons as screens and programs get them: code, sentence, and the step or flag to go to."""
    stored = [one.stored() if isinstance(one, Reason) else one for one in reasons]
    return [
        {
            "code": one["code"],
            "text": reason_text(one, reader),
            "step": one["step"],
            "flag": one["flag"],
        }
        for one in stored
    ]


def in_short(reasons: Sequence[Mapping[str, Any]], reader: Reader) -> str:
    """The first reason, and how many more there are."""
    first, more = reason_text(reasons[0], reader), len(reasons) - 1
    return say(reader, FIRST_OF_SEVERAL, first=first, count=more) if more else first
