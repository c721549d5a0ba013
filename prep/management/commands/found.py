"""`manage.py found`: set up a dealership's first yard and its first administrator."""

from argparse import ArgumentParser
from getpass import getpass
from typing import Any

from django.core.management.base import BaseCommand

from prep.actions import people, sites
from prep.management.refusals import refusals_as_errors
from prep.models import Person
from prep.record.site.yard_commands import OpenSite


class Command(BaseCommand):
    """Open a yard. No sign-in: whoever may run commands on this machine may do so."""

    help = "Open a yard and enroll its first administrator; asks for the password and the PIN."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """The yard and the administrator."""
        parser.add_argument("code", help="short code of the yard, such as north")
        parser.add_argument("name", help="name of the yard")
        parser.add_argument("--dealer", required=True, help="name of the dealership")
        parser.add_argument("--time-zone", default="UTC", help="such as America/Chicago")
        parser.add_argument("--administrator", required=True, help="sign-in name")
        parser.add_argument("--printed-name", default="", help="name as printed beside signatures")

    def handle(self, *args: Any, **options: Any) -> None:
        """Enroll the administrator where needed, then open the yard."""
        username = options["administrator"]
        person = Person.objects.filter(username=username).first()
        with refusals_as_errors():
            if person is None:
                person = people.enroll(
                    username=username,
                    printed_name=options["printed_name"],
                    password=getpass("Password: "),
                    pin=getpass("PIN for sign-offs, 4 to 12 digits: "),
                )
            site = OpenSite(
                site=options["code"],
                name=options["name"],
                time_zone=options["time_zone"],
                dealer=options["dealer"],
            )
            sites.open_site(site, founder=person)
        self.stdout.write(f"{options['name']} is open; {person} administers it.")
