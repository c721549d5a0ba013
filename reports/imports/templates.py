"""Files to give away: an empty table to fill in, and the problems of one that was sent."""

from django.utils.translation import gettext_noop as _

from prep.record.stored_refusals import restored
from prep.words.imports.problems import problem_text
from prep.words.reader import Reader, say
from reports.imports.declared import ImportKind
from reports.imports.reading.cells import column_letter
from reports.imports.submit import problems_of
from reports.imports.written_tables import table_file
from reports.models import Import, ImportProblem

PROBLEM_TITLES = (_("Line"), _("Column"), _("Title"), _("Problem"))


def template(kind: ImportKind, reader: Reader, file_format: str) -> bytes:
    """An empty table of a kind with the titles in the reader's language and one example row."""
    titles = [say(reader, column.title) for column in kind.columns]
    titles += [name for name, example in kind.data]
    example = [column.example for column in kind.columns] + [value for name, value in kind.data]
    return table_file(titles, [example], file_format)


def problem_file(job: Import, reader: Reader, file_format: str) -> bytes:
    """The problems of an import, in words, a line each."""
    rows = (problem_cells(problem, reader) for problem in problems_of(job).iterator())
    return table_file([say(reader, title) for title in PROBLEM_TITLES], rows, file_format)


def problem_cells(problem: ImportProblem, reader: Reader) -> list[str]:
    """A problem as a person reads it: line, letter of the column, its title, and what is wrong."""
    text = problem_text(restored(problem.refusal), problem.header, reader)
    return [str(problem.line), column_letter(problem.column), problem.header, text]
