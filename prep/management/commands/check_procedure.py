"""`manage.py check_procedure`: check procedure documents without publishing them."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand

from prep.management.refusals import refusals_as_errors
from prep.management.yaml_files import read_document
from prep.queries.procedures import check_document


class Command(BaseCommand):
    """Check documents as publishing does; list each problem with its path; exit 1 on any."""

    help = "Check procedure documents (YAML); names every problem with the path of its line."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """The files to check."""
        parser.add_argument("document", nargs="+", type=Path)

    def handle(self, *args: Any, **options: Any) -> None:
        """Check each document in turn."""
        for path in options["document"]:
            with refusals_as_errors(str(path)):
                procedure, digest = check_document(read_document(path))
            self.stdout.write(
                f"{path}: {procedure.procedure} revision {procedure.revision}, "
                f"{len(procedure.steps)} steps, sound. Digest {digest[:16]}…"
            )
