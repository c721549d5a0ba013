"""`manage.py work`: a separate process that seals the log and makes documents."""

from argparse import ArgumentParser
from datetime import timedelta
from typing import Any

from django.core.management.base import BaseCommand

from reports import queue


class Command(BaseCommand):
    """The same work as the runner in the serving process, for another process or machine."""

    help = "Seal the log and make the documents that are due, until stopped."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--every", type=float, default=2.0, help="seconds between two looks (default: 2)"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        self.stdout.write("Working. Stop with Ctrl-C; the document being made is finished first.")
        queue.work_until_stopped(timedelta(seconds=options["every"]))
