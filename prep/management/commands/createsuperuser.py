"""`manage.py createsuperuser`: refused, because nobody here is above the roles of the yards."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError


class Command(BaseCommand):
    """In the place of Django's, which would make an account that no event speaks of."""

    help = "Refused: this service has no superusers. See `manage.py found`."

    def handle(self, *args: Any, **options: Any) -> None:
        """Say what to do instead."""
        raise CommandError(
            "This service has no superusers. Open a yard with its administrator: manage.py found"
        )
