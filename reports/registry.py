"""Registry of document kinds, with everything in which they differ."""

from collections.abc import Callable
from typing import Any, Final, NamedTuple

from django.utils.translation import gettext_noop

from prep.record.reads import READS
from prep.record.refusal import Refusal
from prep.record.roles import DESK, OFFICE, STAFF, Role
from reports.audit import document as audit
from reports.blank_sheet import document as blank_sheet
from reports.certificate import document as certificate
from reports.certificate.cause import language_of
from reports.document_kind import DocumentKind, EventCause, Scope
from reports.labels import document as labels
from reports.registration import document as registration
from reports.verification import document as verification

PLATE_CORRECTED: Final = "unit.plate_corrected"

_KINDS: Final = (
    DocumentKind(
        name="certificate",
        title=gettext_noop("Delivery certificate"),
        letter=certificate.LETTER,
        made_on=EventCause("unit.released", lambda event: event.release),
        replaces_earlier=True,
        succession=language_of,
        corrected=certificate.corrected,
        scope=Scope.UNIT,
        asked_by=STAFF,
        parameters=certificate.Parameters,
        accept=certificate.accept,
        build=certificate.build,
    ),
    DocumentKind(
        name="registration",
        title=gettext_noop("Warranty registration"),
        letter=registration.LETTER,
        made_on=EventCause("unit.handed_over", lambda event: event.handover),
        retried_on=frozenset({"unit.buyer_amended", PLATE_CORRECTED}),
        replaces_earlier=True,
        corrected=registration.corrected,
        scope=Scope.UNIT,
        asked_by=OFFICE | DESK,
        parts=registration.parts,
        parameters=registration.Parameters,
        accept=registration.accept,
        build=registration.build,
    ),
    DocumentKind(
        name="sheet",
        title=gettext_noop("Blank sheet to print"),
        letter=blank_sheet.LETTER,
        scope=Scope.UNIT,
        asked_by=STAFF,
        parameters=blank_sheet.Parameters,
        accept=blank_sheet.accept,
        build=blank_sheet.build,
    ),
    DocumentKind(
        name="labels",
        title=gettext_noop("Labels"),
        letter=labels.LETTER,
        replaces_earlier=True,
        succession=labels.first_cause,
        corrected=labels.corrected,
        scope=Scope.EITHER,
        asked_by=STAFF,
        parameters=labels.Parameters,
        accept=labels.accept,
        build=labels.build,
    ),
    DocumentKind(
        name="audit",
        title=gettext_noop("Audit bundle"),
        letter=audit.LETTER,
        scope=Scope.MANY,
        asked_by=READS["audit.view"].roles,
        parts=audit.parts,
        parameters=audit.Parameters,
        accept=audit.accept,
        build=audit.build,
    ),
    DocumentKind(
        name="verification",
        title=gettext_noop("Verification"),
        letter=verification.LETTER,
        scope=Scope.MANY,
        asked_by=frozenset({Role.AUDITOR, Role.ADMINISTRATOR}),
        repeatable=False,
        parameters=verification.Parameters,
        accept=verification.accept,
        build=verification.build,
    ),
)

KINDS: Final[dict[str, DocumentKind]] = {kind.name: kind for kind in _KINDS}


class MadeOn(NamedTuple):
    """The document kind an event calls for, and how to read the document's cause from the event."""

    document: str
    cause_of: Callable[[Any], str]


# By kind of event: the document it calls for, and the kinds to retry, because the event may have
# added what a failed one lacked.
MADE_ON: Final = {
    kind.made_on.kind: MadeOn(kind.name, kind.made_on.cause_of) for kind in _KINDS if kind.made_on
}
RETRIED_ON: Final = {
    event: [kind.name for kind in _KINDS if event in kind.retried_on]
    for event in sorted(frozenset[str]().union(*(kind.retried_on for kind in _KINDS)))
}


def kind_named(name: str) -> DocumentKind:
    """A document kind by its name; raises Refusal where there is none."""
    if name not in KINDS:
        raise Refusal("no-such-kind", field="kind", typed=name, known=tuple(sorted(KINDS)))
    return KINDS[name]
