"""`manage.py make_documents`: a separate process that seals the log and makes documents."""

from argparse import ArgumentParser
from datetime import timedelta
from typing import Any

from django.core.management.base import BaseCommand

from reports import queue


class Command(BaseCommand):
    """Run the document runner in a process of its own, also on another machine than the server."""

    help = "Seal the log and make the documents that are due, until stopped."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """How often to look."""
        parser.add_argument(
            "--interval", type=float, default=2.0, help="seconds between two looks (default: 2)"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        """Run until interrupted or terminated."""
        self.stdout.write("Running. Stop with Ctrl-C; the document being made is finished first.")
        queue.work_until_stopped(timedelta(seconds=options["interval"]))
