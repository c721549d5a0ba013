"""`manage.py invite`: the way back in where nobody can let somebody in by page.

An administrator who forgot the password, or left without a successor: whoever may run commands on
this machine makes a link. The log names the console, so it is no way in unseen.
"""

from argparse import ArgumentParser
from typing import Any
from uuid import uuid4

from django.core.management.base import BaseCommand, CommandError

from prep.actions.log import CONSOLE
from prep.actions.people import opener_of
from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.management.refusals import refusals_as_errors
from prep.models import Person, Site
from prep.record.person.commands.access import RestorePerson
from prep.record.person.commands.invitations import InvitePerson, RenewInvitation, ResetPerson
from prep.record.person.state import Status
from prep.record.roles import Role


class Command(BaseCommand):
    """Make a link for a person; of an account that is shut, open it first."""

    help = (
        "Make a link by which a person chooses password and PIN. With --yard, invite a new "
        "administrator there; without, reset the account of somebody who has one."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Who, and for a new person where."""
        parser.add_argument("username", help="sign-in name")
        parser.add_argument("--yard", help="code of the yard that a new person administers")
        parser.add_argument("--printed-name", default="", help="of a new person")
        parser.add_argument("--reason", default="", help="why a shut account is opened again")

    def handle(self, *args: Any, **options: Any) -> None:
        """Make the link, and print it with the code."""
        person = Person.objects.filter(username=options["username"]).first()
        command = uuid4()
        with refusals_as_errors():
            if options["yard"]:
                self._invite(options, command)
            elif person is None:
                raise CommandError(
                    f"There is no {options['username']}. To invite a new administrator, say "
                    "--yard and --printed-name."
                )
            else:
                self._reset(person, options["reason"], command)
            opened = opener_of(command)
        self.stdout.write(
            f"For {opened.person} alone, once, until {opened.opener.expires:%Y-%m-%d %H:%M} UTC:\n"
            f"  {opened.opener.link}\n"
            f"  or the code {opened.opener.code}, under “I have a code” on the sign-in page"
        )

    def _invite(self, options: dict[str, Any], command: Any) -> None:
        if not Site.objects.filter(pk=options["yard"]).exists():
            known = ", ".join(Site.objects.order_by("pk").values_list("pk", flat=True))
            raise CommandError(f"There is no yard {options['yard']}. There are: {known}")
        inviting = InvitePerson(
            username=options["username"],
            name=options["printed_name"] or options["username"],
            roles=(Role.ADMINISTRATOR,),
        )
        perform(inviting, actor=CONSOLE, target=options["yard"], submission=Submission(id=command))

    def _reset(self, person: Person, reason: str, command: Any) -> None:
        if person.status in {Status.SUSPENDED, Status.LEFT}:
            if not reason:
                raise CommandError(
                    f"The account of {person} is {person.status}. To open it again, say --reason."
                )
            perform(RestorePerson(reason=reason), actor=CONSOLE, target=person.pk)
            person.refresh_from_db()
        making = RenewInvitation() if person.status == Status.INVITED else ResetPerson()
        perform(making, actor=CONSOLE, target=person.pk, submission=Submission(id=command))
