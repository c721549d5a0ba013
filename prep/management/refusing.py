"""What every command line of ours does with a refusal: say it and end with exit code 1."""

from collections.abc import Iterator
from contextlib import contextmanager

from django.core.management.base import CommandError
from django.db import OperationalError, ProgrammingError

from prep.record.procedure.yaml_documents import DocumentError
from prep.record.refusal import Refusal


@contextmanager
def refusals_said(where: str = "") -> Iterator[None]:
    """Turn a refusal or a faulty document into an error for the terminal."""
    prefix = f"{where}: " if where else ""
    try:
        yield
    except (OperationalError, ProgrammingError) as wrong:
        raise CommandError(
            f"{prefix}The database cannot be used as it is ({wrong}). Start it, and run migrate."
        ) from wrong
    except Refusal as no:
        raise CommandError(f"{prefix}{no.text}") from no
    except DocumentError as wrong:
        lines = "\n".join(f"  {path}: {text}" for path, text in wrong.problems)
        count = len(wrong.problems)
        many = "1 problem" if count == 1 else f"{count} problems"
        raise CommandError(f"{prefix}{many}\n{lines}") from wrong
