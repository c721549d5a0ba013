"""Audit findings in words: what each kind is called and means, and what was found."""

from collections.abc import Callable
from typing import Any, Final

from django.utils.translation import gettext_noop as _

from prep.record.unit.views.audit_findings import Finding, Kind
from prep.words import dates
from prep.words.lists import all_of
from prep.words.reader import Reader, say
from prep.words.unit.flags import flag_text
from prep.words.unit.remarks import remark_texts
from prep.words.unit.signatures import meaning, nothing_to_redo

KINDS: Final[dict[Kind, str]] = {
    Kind.REPLACED: _("Entry replaced"),
    Kind.CONCESSION: _("Accepted by concession"),
    Kind.OPEN_FLAG: _("Flag still open"),
    Kind.INSTRUMENT: _("Tool overdue for calibration"),
    Kind.MOMENTS: _("True at one moment only"),
    Kind.LATE: _("Entered late"),
    Kind.PAPER: _("Copied from paper"),
    Kind.SKIPPED: _("Step marked not applicable"),
    Kind.REOPENED: _("Step reopened"),
    Kind.WITHDRAWN: _("Release withdrawn"),
    Kind.PLATE: _("Serial number corrected"),
    Kind.MODEL: _("Model corrected"),
    Kind.MISFIT: _("Procedure not for this unit"),
    Kind.PART: _("Released with a part missing"),
    Kind.REGISTRATION: _("Registration overdue"),
    Kind.FILE: _("File missing or altered"),
    Kind.LOG: _("Log entry altered"),
}
EXPLANATIONS: Final[dict[Kind, str]] = {
    Kind.REPLACED: _("A later entry in the same box replaced it. The earlier one stays on record."),
    Kind.CONCESSION: _(
        "An item out of limit, or not measured, that a named person accepted, with a reason."
    ),
    Kind.OPEN_FLAG: _("A problem that has been neither fixed nor accepted yet."),
    Kind.INSTRUMENT: _("Its calibration was due before the reading was taken."),
    Kind.MOMENTS: _(
        "The tool or the person counted when the entry was made but not when it was recorded, or "
        "the other way round."
    ),
    Kind.LATE: _("Recorded more than an hour after the time given for it."),
    Kind.PAPER: _("Written on a paper sheet first, then copied."),
    Kind.SKIPPED: _("Left out, with a reason."),
    Kind.REOPENED: _("Started or signed, then opened again."),
    Kind.WITHDRAWN: _("A release that was taken back, with a reason."),
    Kind.PLATE: _("The plate had been misread; documents with the wrong number were replaced."),
    Kind.MODEL: _("Preparation had been started on another model."),
    Kind.MISFIT: _("Prepared by a procedure that is not for its model or serial number."),
    Kind.PART: _("A part noted as missing had not arrived when the unit was released."),
    Kind.REGISTRATION: _("Not sent by the manufacturer's deadline."),
    Kind.FILE: _("A photo or certificate that is not the one recorded in the log."),
    Kind.LOG: _("An entry that is not the one sealed at its position in the log."),
}

TYPED: Final = _("“{typed}”")
SIGNED: Final = _("signed: {meaning}")
ACCEPTED: Final = _("{flag} Reason: {reason}")
REPLACED: Final = _("“{earlier}” replaced by “{typed}”")
REPLACED_BECAUSE: Final = _("“{earlier}” replaced by “{typed}”: {reason}")
REPLACED_UNKNOWN: Final = _("an earlier entry replaced by “{typed}”")
REPLACED_UNKNOWN_BECAUSE: Final = _("an earlier entry replaced by “{typed}”: {reason}")
DIFFERS: Final = _("“{typed}”: {why}")
COPIED: Final = _("“{typed}”, written by {writer}")
DUE: Final = _("{code}, {name}, was due for calibration on {date}.")
MOVED: Final = _("moved to revision {revision}")
REOPENED_STEPS: Final = _("“{reason}” Steps reopened: {steps}.")
PLATE: Final = _("{serial}, formerly read as {was}: {reason}")
MODEL: Final = _("{model}, formerly {was}: {reason}")
MISFIT: Final = _("“{title}”, revision {revision}")
PART: Final = _("{count} × {part}")
REGISTRATION: Final = _("It was due on {date}.")
ANSWERS: Final = {True: _("yes"), False: _("no")}


def kind_title(kind: Kind, reader: Reader) -> str:
    """What a kind of finding is called."""
    return say(reader, KINDS[kind])


def kind_explanation(kind: Kind, reader: Reader) -> str:
    """What a kind of finding means."""
    return say(reader, EXPLANATIONS[kind])


def finding_text(finding: Finding, reader: Reader) -> str:
    """What an auditor is to look at."""
    return _TEXTS[finding.kind](finding, reader)


def _typed(typed: str | bool, reader: Reader) -> str:
    return say(reader, ANSWERS[typed]) if isinstance(typed, bool) else typed


def _replaced(finding: Finding, reader: Reader) -> str:
    found, reason = finding.values, finding.values["reason"]
    typed = _typed(found["typed"], reader)
    if "earlier" not in found:
        text = REPLACED_UNKNOWN_BECAUSE if reason else REPLACED_UNKNOWN
        return say(reader, text, typed=typed, reason=reason)
    text = REPLACED_BECAUSE if reason else REPLACED
    earlier = _typed(found["earlier"], reader)
    return say(reader, text, earlier=earlier, typed=typed, reason=reason)


def _flag(finding: Finding, reader: Reader) -> str:
    assert finding.about is not None
    flag, reason = flag_text(finding.about, reader), finding.values.get("reason")
    return say(reader, ACCEPTED, flag=flag, reason=reason) if reason else flag


def _instrument(finding: Finding, reader: Reader) -> str:
    found: dict[str, Any] = dict(finding.values)
    return say(reader, DUE, date=dates.short_day(found.pop("due"), reader), **found)


def _late(finding: Finding, reader: Reader) -> str:
    if "meaning" in finding.values:
        return say(reader, SIGNED, meaning=meaning(finding.values["meaning"], reader))
    return say(reader, TYPED, typed=_typed(finding.values["typed"], reader))


def _differs(finding: Finding, reader: Reader) -> str:
    typed = _typed(finding.values["typed"], reader)
    why = all_of(remark_texts(finding.values["differs"], reader), reader)
    return say(reader, DIFFERS, typed=typed, why=why)


def _copied(finding: Finding, reader: Reader) -> str:
    typed, writer = _typed(finding.values["typed"], reader), finding.values["writer"]
    return say(reader, COPIED if writer else TYPED, typed=typed, writer=writer)


def _reopened(finding: Finding, reader: Reader) -> str:
    if "revision" in finding.values:
        return say(reader, MOVED, **finding.values)
    return str(finding.values["reason"])


def _withdrawn(finding: Finding, reader: Reader) -> str:
    reason, titles = finding.values["reason"], finding.values["titles"]
    if not titles:
        return f"{reason} {nothing_to_redo(finding.values['nothing_because'], reader)}"
    return say(reader, REOPENED_STEPS, reason=reason, steps=all_of(titles, reader))


def _registration(finding: Finding, reader: Reader) -> str:
    return say(reader, REGISTRATION, date=dates.short_day(finding.values["due"], reader))


def _as_told(finding: Finding, reader: Reader) -> str:
    return str(finding.values["text"])


_TEXTS: Final[dict[Kind, Callable[[Finding, Reader], str]]] = {
    Kind.REPLACED: _replaced,
    Kind.CONCESSION: _flag,
    Kind.OPEN_FLAG: _flag,
    Kind.INSTRUMENT: _instrument,
    Kind.MOMENTS: _differs,
    Kind.LATE: _late,
    Kind.PAPER: _copied,
    Kind.SKIPPED: _reopened,
    Kind.REOPENED: _reopened,
    Kind.WITHDRAWN: _withdrawn,
    Kind.PLATE: lambda finding, reader: say(reader, PLATE, **finding.values),
    Kind.MODEL: lambda finding, reader: say(reader, MODEL, **finding.values),
    Kind.MISFIT: lambda finding, reader: say(reader, MISFIT, **finding.values),
    Kind.PART: lambda finding, reader: say(reader, PART, **finding.values),
    Kind.REGISTRATION: _registration,
    Kind.FILE: _as_told,  # by whoever checked the files of a bundle
    Kind.LOG: _as_told,
}
