"""`manage.py changepassword`: set a person's password, with the event that the log keeps of it."""

from argparse import ArgumentParser
from getpass import getpass
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from prep.actions import people
from prep.management.refusals import refusals_as_errors
from prep.queries.people import person_named


class Command(BaseCommand):
    """In the place of Django's, which would write a hash that the log does not know."""

    help = "Set the password of a person; asks for it twice."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Whose."""
        parser.add_argument("username", help="sign-in name")

    def handle(self, *args: Any, **options: Any) -> None:
        """Ask for the password, and set it."""
        with refusals_as_errors():
            person = person_named(options["username"])
        password = getpass("New password: ")
        if getpass("The same again: ") != password:
            raise CommandError("The two are not the same. Type them again.")
        with refusals_as_errors():
            people.set_password(person, password)
        self.stdout.write(f"{person} signs in with the new password from now on.")
