"""`manage.py erase_again`: after a restore, what the log says was erased is erased again."""

from typing import Any

from django.core.management.base import BaseCommand

from reports.queue import erase_again


class Command(BaseCommand):
    """A backup from before an erasure brings the data back; the log, where it is newer, tells."""

    help = "Erase again whatever personal data the log says were erased and a backup brought back."

    def handle(self, *args: Any, **options: Any) -> None:
        """Go through every erasure of the log."""
        count = erase_again()
        self.stdout.write(f"{count} erasures of the log are carried out. Now run: manage.py verify")
