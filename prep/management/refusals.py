"""Reporting of refusals on the command line: a sentence, and exit code 1."""

from collections.abc import Iterator
from contextlib import contextmanager

from django.core.management.base import CommandError
from django.db import OperationalError, ProgrammingError

from prep.record.refusal import Refusal
from prep.words.publishing.problems import counted, listed
from prep.words.reader import ENGLISH
from prep.words.refusals import refusal_text


@contextmanager
def refusals_as_errors(path: str = "") -> Iterator[None]:
    """Turn a refusal into a CommandError, with the path of its file and each problem of it."""
    prefix = f"{path}: " if path else ""
    try:
        yield
    except (OperationalError, ProgrammingError) as wrong:
        raise CommandError(
            f"{prefix}The database cannot be used as it is ({wrong}). Start it, and run migrate."
        ) from wrong
    except Refusal as no:
        raise CommandError(f"{prefix}{_text(no)}") from no


def _text(no: Refusal) -> str:
    if no.code != "document-unfit":
        return refusal_text(no, ENGLISH)
    count = no.details["count"]
    lines = listed(no.details["problems"], count, ENGLISH)
    return "\n".join([counted(count, ENGLISH), *(f"  {line}" for line in lines)])
