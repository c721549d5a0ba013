"""Commands that record an issued document, and what became of its file."""

from collections.abc import Sequence
from typing import ClassVar

from prep.record.command import Facts, Permission
from prep.record.refusal import Refusal
from prep.record.roles import Context
from prep.record.unit import events as e
from prep.record.unit.events.erasure import DocumentErased
from prep.record.unit.state import Record
from prep.record.unit.unit_command import UnitCommand


class IssueDocument(UnitCommand, frozen=True, kw_only=True, tag="document.issue"):
    """Record the digest of a finished file, and of a bundle that of its tag manifest.

    Only the service does this: who may have a document made was checked when it was requested.
    """

    permission: ClassVar = Permission(frozenset())
    offered: ClassVar = False

    document: str
    kind: str
    number: str
    digest: str
    size: int
    cause: str
    replaces: str = ""
    instead: str = ""
    bag: str = ""

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """A document may be issued at any time, also after the handover."""

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """A document is issued once a kind and cause, unless it replaces an earlier one."""
        for issued, _ in state.documents:
            if issued.document_kind == self.kind and issued.cause == self.cause:
                if self.replaces:
                    continue
                raise Refusal("already-issued", number=issued.number)
        return [self.event()]

    def event(self) -> e.DocumentIssued:
        """The event that records the document."""
        return e.DocumentIssued(
            self.document,
            self.kind,
            self.number,
            self.digest,
            self.size,
            self.cause,
            self.replaces,
            self.instead,
            self.bag,
        )


class RecordRemade(UnitCommand, frozen=True, kw_only=True, tag="document.record_remade"):
    """Record that the lost or damaged file of a document was made again with the same bytes.

    Only the service does this, in the name of whoever asked for it.
    """

    permission: ClassVar = Permission(frozenset())
    offered: ClassVar = False

    document: str
    number: str
    digest: str
    found: str

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """A file can be lost at any time."""

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The bytes were compared with the digest when it was issued."""
        return [self.event()]

    def event(self) -> e.DocumentRemade:
        """The event that records it."""
        return e.DocumentRemade(self.document, self.number, self.digest, self.found)


class RecordErased(UnitCommand, frozen=True, kw_only=True, tag="document.record_erased"):
    """Record that the file of a document was erased for the personal data in it.

    Only the service does this, after somebody had the data erased.
    """

    permission: ClassVar = Permission(frozenset())
    offered: ClassVar = False

    document: str
    number: str

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """Personal data can be erased at any time."""

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[DocumentErased]:
        """Its number and its digest stay."""
        return [self.event()]

    def event(self) -> DocumentErased:
        """The event that records it."""
        return DocumentErased(self.document, self.number)
