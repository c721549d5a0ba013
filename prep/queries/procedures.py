"""Procedure revisions in force."""

from uuid import UUID

from prep.models import (
    ProcedureRevision,
    Unit,
)
from prep.queries.paging import Row
from prep.queries.records import procedure_by_digest
from prep.record.procedure.document import Procedure
from prep.record.refusal import Refusal
from prep.rules.catalog.catalog import RuleRefusal


def procedure_rows(procedure: str = "") -> list[Row]:
    """Revisions in force, the newest of each procedure first."""
    found = ProcedureRevision.objects.order_by("procedure", "-revision")
    if procedure:
        found = found.filter(procedure=procedure)
    columns = ("procedure", "revision", "digest", "title", "model_codes", "published")
    return list(found.values(*columns))


def procedure_row(procedure: str, revision: int) -> Row:
    """A revision with its document."""
    found = ProcedureRevision.objects.filter(procedure=procedure, revision=revision).values()
    row = found.first()
    if row is None:
        raise Refusal(
            "no-such-procedure", f"Procedure {procedure} has no revision {revision} in force."
        )
    return dict(row)


def revision_in_force(procedure: str, revision: int) -> tuple[str, Procedure]:
    """A revision by its number: digest and procedure."""
    found = ProcedureRevision.objects.filter(procedure=procedure, revision=revision)
    digest = found.values_list("digest", flat=True).first()
    if digest is None:
        raise Refusal(
            "no-such-procedure",
            f"Procedure {procedure} has no revision {revision} in force.",
            field="revision",
        )
    return digest, procedure_by_digest(digest)


def revision_for(unit: UUID, procedure: str = "") -> tuple[str, Procedure]:
    """The newest revision that fits a unit's model and serial: digest and procedure."""
    row = Unit.objects.filter(pk=unit).values_list("model", "serial").first()
    if row is None:
        raise Refusal("no-such-unit", "There is no such unit.")
    model, serial = row
    if not model:
        raise Refusal("no-model", "Assign the model first; the procedure depends on it.")
    for digest in _newest(procedure):
        document = procedure_by_digest(digest)
        if model in document.models and _covers(document, serial):
            return digest, document
    raise Refusal(
        "no-procedure",
        f"No procedure in force fits model {model} and serial {serial}. Ask the service manager "
        "to publish one.",
        field="procedure",
    )


def _covers(document: Procedure, serial: str) -> bool:
    try:
        return document.serials is None or document.serials.covers(serial)
    except RuleRefusal:
        return False  # built differently than the range: another revision may be for it


def _newest(procedure: str) -> list[str]:
    found = ProcedureRevision.objects.order_by("-revision", "procedure")
    if procedure:
        found = found.filter(procedure=procedure)
    return list(found.values_list("digest", flat=True))
