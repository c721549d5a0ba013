"""`manage.py verify`: recompute log, index and files, and list each difference from the record."""

import sys
from argparse import ArgumentParser
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from prep.record.log.kept_checkpoints import checkpoints_in
from prep.verify.findings import Statement
from prep.verify.run import verify
from prep.words.reader import ENGLISH
from prep.words.verification.sentences import finding_text, verdict_text
from prep.words.verification.sorts import part_text
from prep.words.verification.statements import PROVED, UNPROVEN, statement_lines


class Command(BaseCommand):
    """Exit code 0 where everything holds, 1 where something differs or the check could not run."""

    help = "Recompute the log, its signatures, the index and every issued file."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Checkpoints to hold the log against."""
        parser.add_argument(
            "--older",
            type=Path,
            nargs="+",
            default=[],
            metavar="FILE",
            help="files with checkpoints you kept, also mails (.eml, mbox): does the log still "
            "hold all they were signed over?",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        """Verify; print the findings, what was proved and what was not, and the verdict."""
        older = [note for path in options["older"] for note in _checkpoints_in(path)]
        report = verify(self._show_progress, older=older)
        for part, count in report.checked.items():
            self.stdout.write(f"Checked {part_text(part, count, ENGLISH)}")
        for finding in report.findings:
            text = finding_text(finding.code, finding.values, ENGLISH)
            self.stderr.write(f"{finding.sort}: {text}")
        if report.not_listed:
            self.stderr.write(f"And {report.not_listed} more.")
        self._tell(PROVED, report.proved)
        self._tell(UNPROVEN, report.unproven)
        verdict = verdict_text(ENGLISH, holds=report.holds)
        if report.holds:
            self.stdout.write(verdict)
            return
        self.stderr.write(verdict)
        sys.exit(1)

    def _tell(self, title: str, statements: Iterable[Statement]) -> None:
        said = ((one.code, one.values) for one in statements)
        for line in statement_lines(title, said, ENGLISH):
            self.stdout.write(line)

    def _show_progress(self, part: str, done: int, total: int) -> None:
        if self.stdout.isatty():
            self.stdout.write(f"\r{part}: {done} of {total}   ", ending="")
            self.stdout.flush()


def _checkpoints_in(path: Path) -> list[str]:
    try:
        found = checkpoints_in(path.read_bytes())
    except OSError as wrong:
        raise CommandError(f"The checkpoint cannot be read ({wrong}). Give its file.") from wrong
    if not found:
        raise CommandError(
            f"{path} holds no signed checkpoint. Give the whole text, from the log's name down to "
            "the signature, or the mail it came in as a file."
        )
    return found
