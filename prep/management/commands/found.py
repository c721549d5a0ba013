"""`manage.py found`: set up a dealership's first yard and the first person who works there."""

from argparse import ArgumentParser
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand

from prep.actions import people, sites
from prep.actions.accounts import passwords, pins
from prep.management.passwords import asked_for
from prep.management.refusals import refusals_as_errors
from prep.models import Person
from prep.record.site.yard_commands import OpenSite


class Command(BaseCommand):
    """Open a yard. No sign-in: whoever may run commands on this machine may do so."""

    help = (
        "Open a yard and enroll the first person there, as administrator, service manager and "
        "technician; asks for the password and the PIN."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        """The yard and the person."""
        parser.add_argument("code", help="short code of the yard, such as north")
        parser.add_argument("name", help="name of the yard")
        parser.add_argument("--dealer", required=True, help="name of the dealership")
        parser.add_argument("--time-zone", default="UTC", help="such as America/Chicago")
        parser.add_argument("--administrator", required=True, help="sign-in name")
        parser.add_argument("--printed-name", default="", help="name as printed beside signatures")

    def handle(self, *args: Any, **options: Any) -> None:
        """Enroll the person where needed, open the yard, and say what to do next."""
        username = options["administrator"]
        person = Person.objects.filter(username=username).first()
        site = OpenSite(
            site=options["code"],
            name=options["name"],
            time_zone=options["time_zone"],
            dealer=options["dealer"],
        )
        with refusals_as_errors():
            sites.check_new(site)
            if person is None:
                person = self._enrolled(username, options["printed_name"] or username)
            sites.open_site(site, founder=person, roles=sites.FOUNDER)
        self.stdout.write(
            f"{options['name']} is open. {person} is its administrator, service manager and "
            "technician, until others are invited.\n"
            "Next\n"
            "  1. manage.py serve\n"
            f"  2. open {settings.ADDRESS} and sign in as {username}\n"
            "  3. People: invite the others; then give up the roles that are theirs\n"
            "  4. Lists: add the manufacturers, publish models; Import a list: your tools\n"
            "  5. Lists: publish procedures\n"
            "  6. receive the first unit"
        )

    def _enrolled(self, username: str, name: str) -> Person:
        """The account of the first person, with secrets that will do."""
        nobody = Person(username=username, printed_name=name)
        return people.enroll(
            username=username,
            printed_name=name,
            password=asked_for("Password", lambda typed: passwords.hashed(typed, nobody)),
            pin=asked_for(
                "PIN for sign-offs, 4 to 12 digits", lambda typed: pins.hashed(typed, username)
            ),
        )
