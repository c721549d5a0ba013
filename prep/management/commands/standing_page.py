"""`manage.py standing_page`: the page for a proxy to show while the service does not answer."""

from typing import Any

from django.core.management.base import BaseCommand

from prep.pages.outages import standing_page


class Command(BaseCommand):
    """Write the page, in every language, to the standard output."""

    help = "Write the page that a proxy shows for its own 502, 503 and 504, in every language."

    def handle(self, *args: Any, **options: Any) -> None:
        """Write it."""
        self.stdout.write(standing_page(), ending="")
