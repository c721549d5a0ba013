"""Issuing documents: the service itself enters a finished file's digest into the unit's log."""

from uuid import UUID, uuid5

from prep.actions.writing import ITSELF, Command, Outcome, change_unit
from prep.record import documents

ISSUE_NAMES = UUID("4c3f6f0e-92d5-4a52-9d55-6f6b1f0a8e21")


def issue(
    *,
    unit: UUID,
    document: UUID,
    form: str,
    number: str,
    digest: str,
    size: int,
    cause: str,
    replaces: UUID | None = None,
) -> Outcome:
    """A file is finished; whoever may cause it was asked at the cause.

    The command follows from the document, so that issuing it twice is one event.
    """
    replaced = str(replaces) if replaces else ""
    return change_unit(
        actor=ITSELF,
        unit=unit,
        command=Command(command_of(document)),
        request=["document.issue", document, form, number, digest, size, cause, replaced],
        decide=lambda record, context: documents.issue(
            record,
            context,
            document=str(document),
            form=form,
            number=number,
            digest=digest,
            size=size,
            cause=cause,
            replaces=replaced,
        ),
    )


def command_of(document: UUID) -> UUID:
    """The id of the command that issues a document."""
    return uuid5(ISSUE_NAMES, str(document))
