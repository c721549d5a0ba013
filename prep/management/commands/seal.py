"""`manage.py seal`: place waiting events in the log and sign a checkpoint."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from prep.actions import sealing


class Command(BaseCommand):
    """Seal the log now. The service does so by itself; this also prints it, or starts a new key."""

    help = "Seal the log and print the signed checkpoint."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Whether to start a new key first."""
        parser.add_argument(
            "--new-key",
            action="store_true",
            help="start a new signing key; what older keys signed stays verifiable",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        """Seal, and print the signed note."""
        try:
            if options["new_key"]:
                self.stdout.write(f"New public key: {sealing.new_key().verifier}")
            checkpoint = sealing.seal()
        except sealing.SealError as wrong:
            raise CommandError(str(wrong)) from wrong
        self.stdout.write(checkpoint.note if checkpoint else "The log has no entries yet.")
