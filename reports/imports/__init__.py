"""Imports: files of which each row becomes a command, checked first and carried out by a worker."""

from reports.imports.kinds import IMPORTS, import_kind
from reports.imports.reading.files import MOST_BYTES
from reports.imports.submit import (
    accept,
    import_of,
    import_to_change,
    imports_by,
    kinds_for,
    problem_counts,
    problems_of,
    resume,
    start,
    stop,
)
from reports.imports.templates import problem_cells, problem_file, template
from reports.imports.worker import WORK, work_until_done
from reports.imports.written_tables import MEDIA_TYPES

__all__ = [
    "IMPORTS",
    "MEDIA_TYPES",
    "MOST_BYTES",
    "WORK",
    "accept",
    "import_kind",
    "import_of",
    "import_to_change",
    "imports_by",
    "kinds_for",
    "problem_cells",
    "problem_counts",
    "problem_file",
    "problems_of",
    "resume",
    "start",
    "stop",
    "template",
    "work_until_done",
]
