"""`manage.py verify`: recompute log, index and files, and list each difference from the record."""

import sys
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from prep.verify.run import verify
from prep.words.reader import ENGLISH
from prep.words.verification.sentences import finding_text, verdict_text
from prep.words.verification.sorts import part_text


class Command(BaseCommand):
    """Exit code 0 where everything holds, 1 where something differs or the check could not run."""

    help = "Recompute the log, its signatures, the index and every issued file."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """A checkpoint to hold the log against."""
        parser.add_argument(
            "--older",
            type=Path,
            help="file with a checkpoint you kept: is all it was signed over still there?",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        """Verify, print the findings and the verdict."""
        report = verify(self._show_progress, older=_read(options["older"]))
        for part, count in report.checked.items():
            self.stdout.write(f"Checked {part_text(part, count, ENGLISH)}")
        for finding in report.findings:
            text = finding_text(finding.code, finding.values, ENGLISH)
            self.stderr.write(f"{finding.sort}: {text}")
        if report.not_listed:
            self.stderr.write(f"And {report.not_listed} more.")
        verdict = verdict_text(ENGLISH, holds=report.holds)
        if report.holds:
            self.stdout.write(verdict)
            return
        self.stderr.write(verdict)
        sys.exit(1)

    def _show_progress(self, part: str, done: int, total: int) -> None:
        if self.stdout.isatty():
            self.stdout.write(f"\r{part}: {done} of {total}   ", ending="")
            self.stdout.flush()


def _read(path: Path | None) -> str | None:
    try:
        return path.read_text(encoding="utf-8") if path else None
    except (OSError, UnicodeDecodeError) as wrong:
        raise CommandError(f"The checkpoint cannot be read ({wrong}). Give its file.") from wrong
