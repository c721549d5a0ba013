"""`manage.py import_file`: check a table, and carry its rows out, without a browser."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

from django.core.management.base import BaseCommand, CommandError

from prep.management.refusals import refusals_as_errors
from prep.models import Person
from prep.record.refusal import Refusal
from prep.words.imports.problems import notice_text
from prep.words.imports.states import import_counts, import_state
from prep.words.reader import ENGLISH
from reports import imports, queue
from reports.models import Import, Stage, State


class Command(BaseCommand):
    """Import a file in the name of a person who may give the rows' command."""

    help = "Check a CSV file or workbook row by row; with --run, carry its rows out."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """The file, the person responsible, and what to do."""
        parser.add_argument("kind", choices=sorted(imports.IMPORTS))
        parser.add_argument("file", type=Path)
        parser.add_argument("--by", required=True, help="sign-in name of the person responsible")
        parser.add_argument("--site", default="", help="yard of the rows")
        parser.add_argument("--run", action="store_true", help="carry the rows out")
        parser.add_argument(
            "--skip-problems", action="store_true", help="leave rows with problems out"
        )
        parser.add_argument(
            "--id", type=UUID, help="id of the import; the same one goes on where it stopped"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        """Send the file, work on it here, and print what was found."""
        person = Person.objects.filter(username=options["by"]).first()
        if person is None:
            raise CommandError(f"Nobody signs in as {options['by']}.")
        path: Path = options["file"]
        with refusals_as_errors(str(path)):
            job = imports.accept(
                actor=person,
                kind=options["kind"],
                content=_content(path),
                name=path.name,
                command=options["id"] or uuid4(),
                site=options["site"],
            )
        self.stdout.write(f"Import {job.pk}")
        if job.state in {State.FAILED, State.CANCELLED}:
            imports.resume(job)
        imports.work_until_done(job)
        if options["run"] and _may_run(job, skip_problems=options["skip_problems"]):
            imports.start(job, skip_problems=options["skip_problems"])
            imports.work_until_done(job)
        self._report(job, run=options["run"])

    def _report(self, job: Import, *, run: bool) -> None:
        for notice in job.notices:
            self.stdout.write(notice_text(notice["code"], notice["values"], ENGLISH))
        for problem in imports.problems_of(job).iterator():
            line, letter, header, text = imports.problem_cells(problem, ENGLISH)
            self.stdout.write(f"line {line} {letter} {header}: {text}".replace("  ", " "))
        ran = job.stage == Stage.RUN
        counts = import_counts(
            ENGLISH, ran=ran, fit=job.fit, made=job.made, problems=imports.problems_of(job).count()
        )
        self.stdout.write(" ".join([f"{import_state(job.stage, job.state, ENGLISH)}.", *counts]))
        if job.state != State.DONE:
            raise CommandError(queue.failure_of(job, ENGLISH) or "The import did not finish.")
        if run and not ran:
            raise CommandError("Nothing was done. Correct the file, or use --skip-problems.")


def _content(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as wrong:
        raise Refusal("no-such-file", path=str(path), cause=str(wrong)) from wrong


def _may_run(job: Import, *, skip_problems: bool) -> bool:
    checked = job.stage == Stage.CHECK and job.state == State.DONE
    return checked and (skip_problems or not imports.problems_of(job).exists())
