"""Reporting of refusals on the command line: a sentence, and exit code 1."""

from collections.abc import Iterator
from contextlib import contextmanager

from django.core.management.base import CommandError
from django.db import OperationalError, ProgrammingError

from prep.record.procedure.problems import DocumentError
from prep.record.refusal import Refusal
from prep.words.procedure_problems import problem_with_path
from prep.words.reader import ENGLISH
from prep.words.refusals import refusal_text


@contextmanager
def refusals_as_errors(path: str = "") -> Iterator[None]:
    """Turn a refusal or a faulty document into a CommandError, with the path of its file."""
    prefix = f"{path}: " if path else ""
    try:
        yield
    except (OperationalError, ProgrammingError) as wrong:
        raise CommandError(
            f"{prefix}The database cannot be used as it is ({wrong}). Start it, and run migrate."
        ) from wrong
    except Refusal as no:
        raise CommandError(f"{prefix}{refusal_text(no, ENGLISH)}") from no
    except DocumentError as wrong:
        lines = "\n".join(f"  {problem_with_path(one, ENGLISH)}" for one in wrong.problems)
        count = len(wrong.problems)
        many = "1 problem" if count == 1 else f"{count} problems"
        raise CommandError(f"{prefix}{many}\n{lines}") from wrong
