"""`manage.py status`: what the service needs and does not have."""

import sys
from typing import Any

from django.core.management.base import BaseCommand

from prep.actions.outages.checks import outages
from prep.words.outages.sentences import outage_text
from prep.words.reader import ENGLISH


class Command(BaseCommand):
    """Exit code 0 where nothing is away, 1 where something is."""

    help = "Say what is away: database, disk, signing key, seals, broker, workers; and what to do."

    def handle(self, *args: Any, **options: Any) -> None:
        """A line for each."""
        found = outages()
        for one in found:
            self.stderr.write(outage_text(one.code, one.values, ENGLISH))
        if found:
            sys.exit(1)
        self.stdout.write("Everything the service needs is there.")
