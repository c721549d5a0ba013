"""`manage.py serve`: the embedded profile's server."""

import os
from argparse import ArgumentParser
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError

from prep.management.embedded_server import serve


class Command(BaseCommand):
    """Serve pages and API, and make documents, in one process."""

    help = "Serve the embedded profile: pages, API and documents in one process."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Where to listen."""
        parser.add_argument("--host", default="127.0.0.1")
        parser.add_argument("--port", type=int, default=8000)

    def handle(self, *args: Any, **options: Any) -> None:
        """Migrate the database and serve."""
        if settings.SERVICE:
            raise CommandError(
                "The service profile is served by gunicorn; see README, “The service profile”."
            )
        if "YARDPROOF_ADDRESS" not in os.environ:  # what invitations and codes lead to
            settings.ADDRESS = f"http://{_reached_at(options['host'])}:{options['port']}"
        call_command("migrate", verbosity=0)
        self.stdout.write(
            f"Open {settings.ADDRESS} in a browser. Yardproof listens on "
            f"{options['host']}:{options['port']}; stop with Ctrl-C."
        )
        serve(options["host"], options["port"])


def _reached_at(host: str) -> str:
    """How a browser on this machine names what the service listens on."""
    return "127.0.0.1" if host in {"0.0.0.0", "::"} else host
