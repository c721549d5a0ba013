"""Every code a refusal may have, with its class and the details that may come with it."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final


class RefusalClass(StrEnum):
    """What kind of obstacle a refusal names; the API gives each class one HTTP status."""

    SYNTAX = "syntax"  # a request that cannot be understood
    INPUT = "input"  # understood, and not acceptable as it is
    STATE = "state"  # acceptable, but not as things stand now
    PERMISSION = "permission"  # not for this person
    IDENTITY = "identity"  # the password does not prove who this is
    MISSING = "missing"  # there is no such thing, or none that this person may see
    PRECONDITION = "precondition"  # it changed since it was looked at
    PRECONDITION_NEEDED = "precondition needed"  # say what was looked at first
    TOO_LARGE = "too large"
    TOO_MANY = "too many"  # tried too often; wait


@dataclass(frozen=True)
class RefusalCode:
    """A declared refusal: its class, and the names of the details it may carry."""

    refusal_class: RefusalClass
    details: tuple[str, ...] = ()


# What each class of refusal covers, by area; details stand in DETAILS.
_SYNTAX: Final = "body-unfit key-missing key-unfit parameter-unfit precondition-unfit"

_INPUT: Final = """
    ambiguous command-reused day-unclear input-unfit instrument-missing instrument-out-of-range
    instrument-out-of-service instrument-overdue instrument-wrong-kind limit-unfit look-alike
    manual-missing moment-unclear moment-unfit name-missing name-taken no-paper no-such-kind
    no-such-paper no-such-place no-such-position no-such-size no-such-time-zone no-such-writer
    not-a-check not-a-choice not-a-photo not-a-reading not-shown not-the-work-of other-maker
    other-model other-procedure other-serials paper-of-another-revision paper-unclear photo-missing
    pin-unfit reason-missing rule-refused serial-unlike-range serial-unreadable text-too-long
    text-unfit typed-by-another unit-missing unit-unwanted units-missing units-unwanted
    unknown-option unknown-quantity unreadable written-before-reopening written-before-sheet
    written-later
"""

_STATE: Final = """
    already-accepted already-acknowledged already-arrived already-assigned already-entered
    already-finished already-issued already-received already-released already-there buyer-erased
    caution-first content-changed document-value does-not-apply file-missing flag-closed flag-open
    handed-over incomplete marked-not-applicable missing-data needs-entry needs-model needs-reading
    needs-tractor never-skipped no-buyer no-cautions no-limit no-model no-procedure
    no-second-person no-sheet not-current not-handed-over not-held not-made-yet not-ready
    not-ready-for-second not-received not-released not-sent not-signed not-stopped nothing-changed
    nothing-to-audit on-hold record-damaged registration-incomplete released revision-not-newer
    rule-result same-revision sheet-started signed too-early
"""

# A sign-off that only another person may give is a question of who, not of the unit's state.
_PERMISSION: Final = "not-allowed not-the-writer pin-wrong same-person"

_MISSING: Final = """
    no-such-buyer no-such-checkpoint no-such-document no-such-event no-such-file no-such-flag
    no-such-instrument no-such-line no-such-model no-such-moment no-such-person no-such-procedure
    no-such-release no-such-rule no-such-shortage no-such-site no-such-step no-such-tractor
    no-such-unit not-sealed
"""

_CLASSES: Final = {
    RefusalClass.SYNTAX: _SYNTAX,
    RefusalClass.INPUT: _INPUT,
    RefusalClass.STATE: _STATE,
    RefusalClass.PERMISSION: _PERMISSION,
    RefusalClass.IDENTITY: "password-wrong",
    RefusalClass.MISSING: _MISSING,
    RefusalClass.PRECONDITION: "changed-meanwhile",
    RefusalClass.PRECONDITION_NEEDED: "precondition-missing",
    RefusalClass.TOO_LARGE: "photo-too-large too-large",
    RefusalClass.TOO_MANY: "pin-locked",
}

_DETAILS: Final = {
    "already-entered": ("current",),
    "ambiguous": ("choices", "why"),
    "caution-first": ("cautions",),
    "changed-meanwhile": ("version",),
    "incomplete": ("boxes",),
    "input-unfit": ("faults",),
    "look-alike": ("look_alikes",),
    "not-current": ("current",),
    "not-made-yet": ("state",),
    "not-ready": ("reasons",),
    "not-shown": ("missing",),
    "pin-locked": ("wait",),
    "record-damaged": ("faults",),
    "registration-incomplete": ("missing",),
    "rule-refused": ("rule", "why"),
    "serial-unlike-range": ("why",),
    "too-early": ("waits_for",),
    "unreadable": ("why",),
}

CODES: Final[dict[str, RefusalCode]] = {
    code: RefusalCode(refusal_class, _DETAILS.get(code, ()))
    for refusal_class, codes in _CLASSES.items()
    for code in codes.split()
}
