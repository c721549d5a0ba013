"""`manage.py remake NUMBER`: make the lost or damaged file of a document again."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from prep.record.refusal import Refusal
from prep.words.documents.remakes import remake_text
from prep.words.reader import ENGLISH
from prep.words.refusals import refusal_text
from reports import queue
from reports.models import Remake, State


class Command(BaseCommand):
    """Puts the file back where its bytes are those that were issued; else another stands in."""

    help = "Make the lost or damaged file of a document again; a damaged one is kept aside."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """The numbers of the documents."""
        parser.add_argument("numbers", nargs="+", metavar="NUMBER", help="number of the document")

    def handle(self, *args: Any, **options: Any) -> None:
        """Make each of them again, one after the other, and say what became of it."""
        failed = [number for number in options["numbers"] if not self._remade(number)]
        if failed:
            raise CommandError(f"Not made again: {', '.join(failed)}.")

    def _remade(self, number: str) -> bool:
        try:
            job = queue.remake(queue.document_numbered(number), None)
        except Refusal as no:
            self.stderr.write(f"{number}: {refusal_text(no, ENGLISH)}")
            return False
        queue.remake_until_done(job)
        self.stdout.write(f"{number}: {_became(job)}")
        return job.state == State.DONE


def _became(job: Remake) -> str:
    stand_in = job.stand_in
    if stand_in and stand_in.state == State.FAILED:
        return queue.failure_of(stand_in, ENGLISH)
    number = stand_in.number if stand_in else ""
    return queue.failure_of(job, ENGLISH) or remake_text(job.found, job.outcome, number, ENGLISH)
