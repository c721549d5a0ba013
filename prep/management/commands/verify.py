"""`manage.py verify`: recompute the log, the index and every file; name what is not as recorded."""

import sys
from typing import Any

from django.core.management.base import BaseCommand

from prep.actions.verifying import verify


class Command(BaseCommand):
    """Exit code 0 where everything holds, 1 where something does not."""

    help = "Recompute the log, its signatures, the index and every issued file."

    def handle(self, *args: Any, **options: Any) -> None:
        report = verify(self._told)
        for part, count in report.checked.items():
            self.stdout.write(f"Checked {part}: {count}")
        for finding in report.findings:
            self.stderr.write(f"{finding.sort}: {finding.text}")
        if report.not_listed:
            self.stderr.write(f"And {report.not_listed} more.")
        if report.holds:
            self.stdout.write("Everything is as it was recorded.")
            return
        self.stderr.write("Not everything is as it was recorded.")
        sys.exit(1)

    def _told(self, part: str, done: int, total: int) -> None:
        if self.stdout.isatty():
            self.stdout.write(f"\r{part}: {done} of {total}   ", ending="")
