"""`manage.py check_procedure`: check procedures, models and tractors without publishing them."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand

from prep.actions.rehearse import rehearse
from prep.management.refusals import refusals_as_errors
from prep.management.yaml_files import read_text
from prep.record.commands import publishing
from prep.record.procedure.events import ProcedurePublished
from prep.record.roles import Actor

CONSOLE = Actor("console", "Console", frozenset())


class Command(BaseCommand):
    """Do all that publishing does and undo it; list every problem; exit 1 on any."""

    help = "Check procedures, models and tractors (YAML); names every problem with its place."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """The files to check."""
        parser.add_argument("document", nargs="+", type=Path)

    def handle(self, *args: Any, **options: Any) -> None:
        """Check each document in turn."""
        for path in options["document"]:
            with refusals_as_errors(str(path)):
                event = rehearse(publishing(read_text(path)), actor=CONSOLE).events[-1]
            self.stdout.write(f"{path}: {_said(event)}")


def _said(event: Any) -> str:
    """What would come into force."""
    if isinstance(event, ProcedurePublished):
        return f"{event.procedure} revision {event.revision}, sound. Digest {event.digest[:16]}…"
    return f"{event.facts.code} revision {event.facts.revision}, sound."
