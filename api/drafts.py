"""Documents that are checked before they are published."""

from typing import Any

from api.inputs import Body, Document
from prep.actions.rehearse import rehearse
from prep.models import Person
from prep.queries.people import sites_of
from prep.record.command import Command
from prep.record.reads import permit_read


class DraftBody(Body, frozen=True, kw_only=True):
    """The document to check."""

    document: Document


def rehearsed(command: Command, person: Person) -> Any:
    """The event that publishing would put into the log; raises the Refusal it would get."""
    held = sites_of(person).values()
    permit_read("document.check", frozenset(role for roles in held for role in roles))
    return rehearse(command, actor=person).events[-1]
