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
    AWAY = "away"  # what it takes is away for the moment; wait


@dataclass(frozen=True)
class RefusalCode:
    """A declared refusal: its class, and the names of the details it may carry."""

    refusal_class: RefusalClass
    details: tuple[str, ...] = ()


# What each class of refusal covers; details stand in _DETAILS.
_SYNTAX: Final = """
    body-cut-off body-deep body-encoded body-fields body-name-twice body-number-long body-unfit
    body-unprintable
    device-unfit cursor-of-another-order cursor-unfit key-missing key-unfit
    no-search no-such-field no-such-filter no-such-format no-such-order one-view-only
    page-size-unfit parameter-repeated parameter-unfit part-missing precondition-unfit
    sizes-unfit
"""

# Passwords and PINs that do not do.
_SECRETS: Final = """
    password-common password-like-name password-too-long password-too-short pin-easy pin-unfit
"""

_INPUT: Final = """
    ambiguous attachment-in-batch author-unwanted command-reused contradicts day-unclear
    device-time-unclear extremes-crossed
    happened-before-start happened-in-future happened-too-long-ago input-unfit
    instrument-missing instrument-out-of-range instrument-out-of-service instrument-overdue
    instrument-wrong-kind limit-unfit look-alike manual-missing moment-in-future moment-unclear
    moment-unfit name-missing id-unfit name-taken no-paper no-positions no-file-sent
    no-such-author no-such-command no-such-kind no-such-language no-such-paper no-such-place
    no-such-place-on-sheet no-such-position no-such-size no-such-time-zone no-such-units
    no-such-writer not-a-check not-a-choice not-a-count not-a-photo not-a-reading not-a-setting
    not-shown suspicion-missing more-moved-than-checked more-than-there-are
    not-the-work-of other-maker other-model other-procedure other-serials
    paper-of-another-revision paper-unclear period-unfit photo-damaged photo-missing
    photo-moving photo-too-many-points reason-missing
    rule-refused search-too-long serial-unlike-range serial-unreadable signature-in-batch
    target-missing target-unwanted text-unfit typed-by-another unit-missing unit-unwanted
    units-missing units-unwanted unknown-option unknown-quantity unreadable no-checkpoint-inside
    steps-and-nothing-to-redo steps-to-redo-missing happened-before-buyer happened-before-flag
    happened-before-instrument happened-before-model happened-before-procedure
    happened-before-release happened-before-reopening happened-before-sheet happened-before-work
    manufacturer-alike manufacturer-known manufacturer-unreadable keeper-known no-plate-photo
    join-itself document-unfit reading-implausible unit-of-another-box hours-end-first
    hours-unreadable hours-overlap closed-unreadable closed-twice no-such-country no-such-region
"""

# Files, column titles, cells and rows of imports.
_IMPORTS: Final = """
    cell-beyond-headers cell-control-character cell-date-for-text cell-decimal-comma cell-error
    cell-exponent cell-float cell-foreign-letter cell-formula cell-invisible-character
    cell-like-formula cell-missing cell-not-text cell-not-whole cell-number-for-day
    cell-number-for-text cell-number-without-unit cell-several-lines cell-time-for-day
    header-empty header-missing header-not-first header-repeated header-same header-unknown
    header-unknown-data import-site-missing import-site-unwanted row-drops row-is-example
    row-look-alike row-other-sort row-repeated table-broken table-empty table-encoding
    table-locked table-macros table-merged table-missing table-not-a-workbook table-not-csv
    table-quotes table-too-long table-too-wide table-unpacks table-unreadable
"""

_STATE: Final = """
    already-accepted already-acknowledged already-arrived already-assigned already-checked
    already-entered already-finished already-issued already-received already-released
    already-settled already-started already-there buyer-changed buyer-erased caution-first
    content-changed document-value does-not-apply file-altered file-missing flag-closed
    flag-open handed-over import-busy import-file-erased import-has-problems import-not-checked
    import-ran incomplete issued-otherwise line-too-early marked-not-applicable missing-data
    needs-entry needs-model needs-reading needs-tractor never-skipped no-buyer no-cautions
    no-limit no-location no-model no-open-flag no-procedure no-second-person no-sheet
    not-current not-handed-over not-held not-made-yet not-proven-yet not-ready
    not-ready-for-second not-received not-released not-released-for-buyer not-safe-yet not-sent
    not-signed not-stopped nothing-changed nothing-missing nothing-to-audit on-hold
    record-damaged registration-incomplete released rule-result same-revision sheet-started
    signed still-open too-early manufacturer-unchanged plate-taken plate-unchanged
    join-other-yard join-the-other-way join-two-buyers joined-away model-not-used
    model-unchanged photo-file-missing on-legal-hold no-legal-hold buyer-has-open-sale
    document-erased erased-meanwhile guest-ended guest-erased guest-goes-on guest-link-unfit
    flag-stands site-known token-revoked-already
"""

# Accounts of people, their invitations, roles and cards, by class.
_ACCOUNT_INPUT: Final = """
    card-of-no-manufacturer code-mistyped course-of-whom not-the-same-password not-the-same-pin
    takes-effect-at-once
"""
_ACCOUNT_STATE: Final = """
    already-joined card-withdrawn invitation-expired invitation-replaced invitation-used
    invitation-withdrawn last-administrator no-open-invitation not-joined person-left
    person-not-shut person-suspended role-held role-not-held
"""
_ACCOUNT_PERMISSION: Final = "not-allowed-everywhere own-only"
_ACCOUNT_MISSING: Final = "no-such-card no-such-invitation no-such-person-id"

# Documents whose file is to be made again.
_REMAKING: Final = "file-intact parts-damaged replaced-already"

# A sign-off that only another person may give is a question of who, not of the unit's state.
_PERMISSION: Final = """
    instrument-of-another-yard no-role-then not-allowed not-allowed-there not-the-author
    not-the-writer not-your-document not-yours-to-settle own-concession pin-wrong same-person
    service-only switch-wrong not-on-this-device scope-missing sign-in-needed system-cannot-sign
    system-not-administrator system-of-another-yard system-has-no-sign-in device-unknown
    device-revoked device-unproved
"""

_MISSING: Final = """
    never-remade no-such-buyer no-such-checkpoint no-such-document no-such-event no-such-file
    no-such-flag no-such-import no-such-import-kind no-such-instrument no-such-line
    no-such-model no-such-moment no-such-person no-such-photo no-such-procedure no-such-refused
    no-such-registration no-such-release no-such-rule no-such-shortage no-such-site no-such-step
    no-such-tractor no-such-unit no-such-units-then no-such-wording not-here-then not-published
    not-sealed not-under-checkpoint no-manufacturers no-such-manufacturer
    no-such-manufacturer-id no-such-keeper no-such-guest no-such-device no-such-token
    no-such-system
"""

_TOO_LARGE: Final = """
    file-too-large photo-too-large table-too-large too-large checkpoint-file-too-large
"""

_AWAY: Final = "database-away database-busy disk-full storage-closed"

_CLASSES: Final = {
    RefusalClass.SYNTAX: _SYNTAX,
    RefusalClass.INPUT: _INPUT + _SECRETS + _ACCOUNT_INPUT + _IMPORTS,
    RefusalClass.STATE: f"{_STATE} {_ACCOUNT_STATE} {_REMAKING}",
    RefusalClass.PERMISSION: f"{_PERMISSION} {_ACCOUNT_PERMISSION}",
    RefusalClass.IDENTITY: "password-wrong sign-in-wrong token-ended",
    RefusalClass.MISSING: f"{_MISSING} {_ACCOUNT_MISSING}",
    RefusalClass.PRECONDITION: "changed-meanwhile",
    RefusalClass.PRECONDITION_NEEDED: "precondition-missing",
    RefusalClass.TOO_LARGE: _TOO_LARGE,
    RefusalClass.TOO_MANY: "too-many-attempts too-many-checks too-many-documents",
    RefusalClass.AWAY: _AWAY,
}

# What the sentence of a code names, and what a screen needs to help. Codes left out have none.
_DETAILS: Final = {
    "already-joined": "person",
    "last-administrator": "person yards",
    "no-open-invitation": "person",
    "not-allowed-everywhere": "roles sites",
    "not-joined": "person",
    "person-left": "person",
    "person-not-shut": "person",
    "person-suspended": "person",
    "role-held": "person role",
    "role-not-held": "person role",
    "database-away": "seconds",
    "database-busy": "seconds",
    "disk-full": "seconds",
    "storage-closed": "seconds",
    "already-arrived": "part",
    "already-checked": "step_title",
    "already-entered": "box current",
    "already-issued": "number",
    "already-received": "serial unit",
    "already-there": "place",
    "ambiguous": "choices why",
    "body-deep": "most",
    "body-name-twice": "name",
    "body-number-long": "most",
    "body-unfit": "parser",
    "device-unfit": "header most",
    "buyer-has-open-sale": "serials",
    "caution-first": "cautions step_title",
    "cell-control-character": "place",
    "cell-date-for-text": "typed",
    "cell-decimal-comma": "typed",
    "cell-error": "typed",
    "cell-exponent": "typed",
    "cell-float": "typed",
    "cell-foreign-letter": "character place",
    "cell-invisible-character": "place",
    "cell-like-formula": "typed",
    "cell-not-text": "typed",
    "cell-not-whole": "typed",
    "cell-number-for-day": "typed",
    "cell-number-for-text": "typed",
    "cell-number-without-unit": "typed",
    "cell-time-for-day": "typed",
    "changed-meanwhile": "version",
    "checkpoint-file-too-large": "most",
    "contradicts": "because expected typed",
    "day-unclear": "typed",
    "device-time-unclear": "typed",
    "device-revoked": "name",
    "document-erased": "number",
    "document-unfit": "count problems",
    "document-value": "quantity typed where",
    "does-not-apply": "step_title",
    "file-intact": "number",
    "file-too-large": "most",
    "flag-open": "step_title",
    "flag-stands": "box",
    "happened-before-buyer": "begun name",
    "happened-before-flag": "moment",
    "happened-before-instrument": "begun name",
    "happened-before-model": "begun name",
    "happened-before-procedure": "begun name",
    "happened-before-release": "moment",
    "happened-before-reopening": "moment step_title",
    "happened-before-sheet": "moment",
    "happened-before-start": "begun",
    "happened-before-work": "moment",
    "happened-too-long-ago": "days",
    "header-empty": "letter",
    "header-missing": "columns",
    "header-not-first": "line",
    "header-repeated": "headers",
    "header-same": "headers",
    "header-unknown": "columns unknown",
    "header-unknown-data": "columns unknown",
    "id-unfit": "typed",
    "closed-twice": "day",
    "hours-end-first": "closes opens",
    "hours-overlap": "closes opens",
    "hours-unreadable": "typed",
    "closed-unreadable": "typed",
    "no-such-country": "typed",
    "no-such-region": "known typed",
    "import-has-problems": "count",
    "incomplete": "boxes open_boxes",
    "input-unfit": "faults",
    "instrument-missing": "kind",
    "instrument-of-another-yard": "instrument",
    "instrument-out-of-range": "high low name",
    "instrument-out-of-service": "name reason",
    "instrument-overdue": "due name",
    "instrument-wrong-kind": "kind name needed",
    "join-other-yard": "serial",
    "join-the-other-way": "serial",
    "join-two-buyers": "serial",
    "joined-away": "serial unit",
    "key-missing": "header",
    "key-unfit": "header",
    "line-too-early": "before",
    "look-alike": "look_alikes serial",
    "manufacturer-alike": "alike name",
    "manufacturer-known": "known",
    "marked-not-applicable": "step_title",
    "missing-data": "entry name",
    "model-unchanged": "model",
    "moment-unclear": "typed",
    "moment-unfit": "header",
    "extremes-crossed": "highest lowest other",
    "more-moved-than-checked": "checked",
    "more-than-there-are": "fasteners",
    "name-taken": "username",
    "needs-reading": "ask step_title",
    "never-skipped": "step_title",
    "no-cautions": "step_title",
    "no-positions": "ask",
    "no-procedure": "model serial",
    "no-second-person": "step_title",
    "no-such-author": "author",
    "no-role-then": "moment roles",
    "no-such-checkpoint": "size",
    "no-such-command": "typed",
    "no-such-field": "known wanted",
    "no-such-file": "cause path",
    "no-such-filter": "filter known",
    "no-such-format": "known",
    "no-such-import-kind": "known typed",
    "no-such-instrument": "instrument",
    "no-such-kind": "known typed",
    "no-such-line": "line step_title",
    "no-such-manufacturer": "closest wanted",
    "no-manufacturers": "wanted",
    "no-such-model": "known wanted",
    "no-such-moment": "typed",
    "no-such-order": "known order",
    "no-such-paper": "sizes",
    "no-such-person": "username",
    "no-such-place": "count",
    "no-such-place-on-sheet": "typed",
    "no-such-position": "positions",
    "no-such-procedure": "procedure revision",
    "no-such-rule": "why",
    "no-such-site": "known",
    "no-such-size": "sizes",
    "no-such-step": "step",
    "no-such-time-zone": "typed",
    "no-such-tractor": "known wanted",
    "no-such-units": "units",
    "no-such-units-then": "known_at units",
    "no-such-writer": "writer",
    "not-a-check": "ask",
    "not-a-choice": "allowed",
    "not-a-count": "typed",
    "not-a-reading": "ask",
    "not-a-setting": "ask",
    "not-allowed": "roles",
    "not-allowed-there": "roles site",
    "not-current": "current",
    "not-made-yet": "state",
    "not-ready": "reasons",
    "not-ready-for-second": "step_title",
    "not-safe-yet": "states titles waits_for work",
    "not-shown": "missing",
    "not-signed": "step_title",
    "not-the-author": "authors senders step_title",
    "not-the-work-of": "roles step_title writer",
    "not-the-writer": "step_title writers",
    "not-your-document": "roles",
    "on-hold": "reason",
    "on-legal-hold": "reason",
    "other-maker": "manufacturer model on_plate",
    "other-model": "model models procedure",
    "other-serials": "first last procedure revision",
    "paper-of-another-revision": "in_force mark",
    "page-size-unfit": "most",
    "parameter-repeated": "parameter",
    "parts-damaged": "numbers",
    "password-too-long": "most",
    "parameter-unfit": "parameter",
    "photo-too-large": "most",
    "photo-too-many-points": "most",
    "reading-implausible": "least most typed",
    "record-damaged": "entries photos",
    "plate-taken": "serial unit",
    "plate-unchanged": "serial",
    "registration-incomplete": "missing",
    "replaced-already": "by",
    "revision-not-newer": "document following revision",
    "row-drops": "names",
    "row-look-alike": "line other serial",
    "row-other-sort": "model",
    "row-repeated": "line",
    "rule-refused": "rule why",
    "rule-result": "rule",
    "scope-missing": "scope",
    "system-has-no-sign-in": "person",
    "search-too-long": "most",
    "serial-unlike-range": "why",
    "signed": "step_title",
    "sizes-unfit": "sealed",
    "suspicion-missing": "ask",
    "table-merged": "cells",
    "table-not-a-workbook": "name",
    "table-not-csv": "name",
    "table-quotes": "line",
    "table-too-large": "most",
    "table-too-long": "most",
    "table-too-wide": "most",
    "table-unpacks": "most",
    "too-early": "step_title titles waits_for",
    "too-large": "most",
    "too-many-attempts": "seconds",
    "too-many-checks": "seconds",
    "too-many-documents": "most seconds",
    "typed-by-another": "person",
    "unit-of-another-box": "allowed unit",
    "unknown-option": "model options unknown",
    "unknown-quantity": "known typed",
    "unreadable": "why",
}

CODES: Final[dict[str, RefusalCode]] = {
    code: RefusalCode(refusal_class, tuple(_DETAILS.get(code, "").split()))
    for refusal_class, codes in _CLASSES.items()
    for code in codes.split()
}
