"""Actions that check and publish procedures."""

from typing import Any

from django.db.models import Max

from prep.actions.reference_stream import append_one, office_anywhere
from prep.actions.write_path import Command
from prep.models import Person, ProcedureRevision
from prep.queries.models import all_model_facts
from prep.record.procedure.checks import check
from prep.record.procedure.events import ProcedurePublished
from prep.record.procedure.yaml_documents import DocumentError, load_procedure
from prep.record.refusal import Refusal
from prep.record.roles import Context


def check_procedure(text: str) -> tuple[Any, dict[str, Any], str]:
    """Read and check a procedure: the procedure, its plain values and its digest.

    Raises DocumentError with all problems and their paths.
    """
    procedure, values, digest = load_procedure(text)
    problems = check(procedure, all_model_facts())
    if problems:
        raise DocumentError(problems)
    return procedure, values, digest


def publish_procedure(*, actor: Person, command: Command, text: str) -> str:
    """Publish a procedure revision; returns its digest. A published revision never changes."""
    who = office_anywhere(actor)
    procedure, values, digest = check_procedure(text)

    def index(version: int, context: Context) -> None:
        _check_newer(procedure.procedure, procedure.revision)
        ProcedureRevision.objects.create(
            digest=digest,
            procedure=procedure.procedure,
            revision=procedure.revision,
            title=procedure.title,
            model_codes=list(procedure.models),
            document=values,
            published=context.recorded,
        )

    append_one(
        actor=who,
        command=command,
        stream="procedure",
        stream_id=procedure.procedure,
        site="",
        event=ProcedurePublished(procedure.procedure, procedure.revision, digest, values),
        index=index,
    )
    return digest


def _check_newer(procedure: str, revision: int) -> None:
    known = ProcedureRevision.objects.filter(procedure=procedure).aggregate(newest=Max("revision"))[
        "newest"
    ]
    if known is not None and revision <= known:
        raise Refusal(
            "revision-not-newer",
            f"{procedure} revision {known} is in force and never changes. Publish revision "
            f"{known + 1}.",
            field="revision",
        )
