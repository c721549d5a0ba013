"""Procedure revisions in force."""

from prep.models import ProcedureRevision
from prep.queries.listing.declaration import Row
from prep.queries.models import all_model_facts
from prep.queries.records import procedure_by_digest
from prep.record.procedure.commands import checked_document
from prep.record.procedure.document import Procedure
from prep.record.refusal import Refusal
from prep.record.unit.state import Record
from prep.rules.catalog.catalog import RuleRefusal


def procedure_rows(procedure: str = "") -> list[Row]:
    """Rows of the revisions in force, sorted by procedure, newest revision first."""
    revisions = ProcedureRevision.objects.order_by("procedure", "-revision")
    if procedure:
        revisions = revisions.filter(procedure=procedure)
    columns = ("procedure", "revision", "digest", "title", "model_codes", "published")
    return list(revisions.values(*columns))


def procedure_row(procedure: str, revision: int) -> Row:
    """Row of a revision in force, with its document; Refusal where there is none."""
    revisions = ProcedureRevision.objects.filter(procedure=procedure, revision=revision).values()
    row = revisions.first()
    if row is None:
        raise Refusal("no-such-procedure", procedure=procedure, revision=revision)
    return dict(row)


def revision_in_force(procedure: str, revision: int) -> tuple[str, Procedure]:
    """Digest and procedure of a revision in force, by number; Refusal where there is none."""
    revisions = ProcedureRevision.objects.filter(procedure=procedure, revision=revision)
    digest = revisions.values_list("digest", flat=True).first()
    if digest is None:
        raise Refusal("no-such-procedure", field="revision", procedure=procedure, revision=revision)
    return digest, procedure_by_digest(digest)


def revision_for(record: Record, procedure: str = "") -> tuple[str, Procedure]:
    """Digest and procedure of the newest revision for a unit's model and serial.

    Raises Refusal for a unit without a model, or one that no revision fits.
    """
    if record.model is None:
        raise Refusal("no-model")
    model = record.model.code
    for digest in _newest(procedure):
        document = procedure_by_digest(digest)
        if model in document.models and _covers(document, record.serial):
            return digest, document
    raise Refusal("no-procedure", field="procedure", model=model, serial=record.serial)


def _covers(document: Procedure, serial: str) -> bool:
    try:
        return document.serials is None or document.serials.covers(serial)
    except RuleRefusal:
        return False  # a serial of another pattern than the range: another revision may be for it


def _newest(procedure: str) -> list[str]:
    revisions = ProcedureRevision.objects.order_by("-revision", "procedure")
    if procedure:
        revisions = revisions.filter(procedure=procedure)
    return list(revisions.values_list("digest", flat=True))


def check_document(text: str) -> tuple[Procedure, str]:
    """The procedure in a document, and its digest. Raises DocumentError with every problem."""
    procedure, _, digest = checked_document(text, all_model_facts())
    return procedure, digest
