"""`manage.py publish`: put a procedure, a model or a tractor in force."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from prep.actions.perform import perform
from prep.management.refusals import refusals_as_errors
from prep.management.yaml_files import read_text
from prep.models import Person
from prep.record.commands import publishing


class Command(BaseCommand):
    """Publish documents into the log, in the name of a person who has the role for it."""

    help = "Publish procedures, models and tractors (YAML). A revision in force never changes."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """The documents and the person responsible."""
        parser.add_argument("document", nargs="+", type=Path)
        parser.add_argument("--by", required=True, help="sign-in name of the person responsible")

    def handle(self, *args: Any, **options: Any) -> None:
        """Publish each document in turn; the first refused one stops the rest."""
        person = Person.objects.filter(username=options["by"]).first()
        if person is None:
            raise CommandError(f"Nobody signs in as {options['by']}.")
        for path in options["document"]:
            with refusals_as_errors(str(path)):
                perform(publishing(read_text(path)), actor=person)
            self.stdout.write(f"{path}: in force")
