"""Publish a procedure, a model or a tractor into the log."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from prep.actions import models, procedures, yaml_files
from prep.actions.write_path import Command as Wish
from prep.management.refusing import refusals_said
from prep.models import Person
from prep.record.procedure.yaml_documents import load_yaml


class Command(BaseCommand):
    """Bring documents into force in the name of a person who may."""

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
            with refusals_said(str(path)):
                self._publish(person, yaml_files.read_document(path))
            self.stdout.write(f"{path}: in force")

    def _publish(self, person: Person, text: str) -> None:
        values = load_yaml(text)
        if isinstance(values, dict) and "procedure" in values:
            procedures.publish_procedure(actor=person, command=Wish(), text=text)
        else:
            models.publish_model(actor=person, command=Wish(), text=text)
