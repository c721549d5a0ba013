"""`manage.py guard`: put back the database's guards on the log."""

from typing import Any

from django.core.management.base import BaseCommand
from django.db import connection, transaction

from prep.models import triggers


class Command(BaseCommand):
    """Make the triggers anew that refuse changes of the log, whatever was changed meanwhile."""

    help = "Put back the database's guards on the log; verify the log before and after."

    @transaction.atomic
    def handle(self, *args: Any, **options: Any) -> None:
        """Make the triggers anew."""
        triggers.install(connection)
        self.stdout.write(
            "The guards stand again. What was changed while they did not is said by: manage.py "
            "verify"
        )
