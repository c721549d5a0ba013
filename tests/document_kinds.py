"""Kinds of documents made in another way, or of tests alone."""

from collections.abc import Callable
from dataclasses import replace

from prep.record.roles import Role
from reports.document_kind import (
    Accepted,
    BuiltFile,
    DocumentKind,
    NoParameters,
    Progress,
    Request,
    Scope,
    temporary_file,
)
from reports.models import DocumentRequest
from reports.registry import KINDS

Builder = Callable[[DocumentRequest, Progress], BuiltFile]


def built_by(name: str, build: Builder) -> DocumentKind:
    """The kind of this name with another builder; an unknown one is of no unit, for everybody."""
    if name in KINDS:
        return replace(KINDS[name], build=build)
    return DocumentKind(
        name=name,
        title=name.capitalize(),
        letter="T",
        scope=Scope.MANY,
        asked_by=frozenset(Role),
        parameters=NoParameters,
        accept=_each_time,
        build=build,
    )


def one_line(request: DocumentRequest, progress: Progress) -> BuiltFile:
    """Builder of a text file that holds the request's cause and nothing else."""
    path = temporary_file(request, ".txt")
    path.write_text(request.cause)
    progress(1, 1)
    return BuiltFile(path, f"{request.kind}.txt", f"N-{request.cause}", "text/plain")


def _each_time(request: Request) -> Accepted:
    return Accepted(str(request.command), request.sent)
