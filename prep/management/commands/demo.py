"""`manage.py demo`: build the demonstration, prepare one unit over HTTP, and serve."""

import os
import shutil
import sys
import time
from argparse import ArgumentParser
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from uuid import UUID

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import connections

from prep.management.demo import dealership, personal_data, scenarios
from prep.management.demo.dealership import DEALER, PASSWORD, PIN
from prep.management.demo.offline_tablet import send_what_was_kept
from prep.management.demo.scripted_run import ScriptedRun
from prep.management.demo.spreadsheet import import_arrivals
from prep.management.embedded_server import background_server, serve
from prep.models import Person, Site, Unit
from prep.record.unit.views.unit_state import UnitState
from prep.words.reader import ENGLISH
from reports import queue
from reports.models import DocumentRequest, State

WAIT_FOR_DOCUMENT = 60  # seconds
BAR = 24  # characters


class Command(BaseCommand):
    """The whole job of the service on a fresh machine, in one command."""

    help = "Build an invented dealership, prepare one unit over HTTP, and serve it."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """What to leave out, and where to serve."""
        parser.add_argument("--no-serve", action="store_true", help="stop before serving")
        parser.add_argument(
            "--fresh", action="store_true", help="delete the previous demonstration first"
        )
        parser.add_argument("--host", default="127.0.0.1")
        parser.add_argument("--port", type=int, default=8000)

    def handle(self, *args: Any, **options: Any) -> None:
        """Build the demonstration unless it exists, suggest what to try, and serve."""
        if settings.SERVICE:
            raise CommandError("The demonstration runs in the embedded profile only.")
        if "YARDPROOF_ADDRESS" not in os.environ:  # what labels and certificates lead to
            settings.ADDRESS = f"http://{options['host']}:{options['port']}"
        if options["fresh"]:
            self._delete_previous()
        call_command("migrate", verbosity=0)
        if Site.objects.exists():
            self._refuse_real_records()
            self.stdout.write("The demonstration is built already; --fresh starts over.")
        else:
            self._build()
        self._suggest()
        if not options["no_serve"]:
            serve(options["host"], options["port"])

    def _delete_previous(self) -> None:
        """Delete the previous demonstration's data; refuse to delete a real dealership's."""
        database = Path(str(settings.DATABASES["default"]["NAME"]))
        if database.exists():
            call_command("migrate", verbosity=0)
            self._refuse_real_records()
        connections.close_all()
        for path in (database, *database.parent.glob(f"{database.name}-*")):
            path.unlink(missing_ok=True)
        for folder in (settings.MEDIA_ROOT, settings.KEYS):
            shutil.rmtree(folder, ignore_errors=True)
            Path(folder).mkdir(parents=True, exist_ok=True)

    def _refuse_real_records(self) -> None:
        if Site.objects.exclude(dealer=DEALER).exists():
            raise CommandError(
                f"{settings.DATA} holds a real dealership's records. Set YARDPROOF_DATA to another "
                "folder for the demonstration."
            )

    def _build(self) -> None:
        started = time.monotonic()
        self.stdout.write(f"{DEALER}: everything below is invented.\n")
        crew = dealership.build(self._report)
        self._progress(scenarios.build(crew))
        self._report(personal_data.build(crew))
        dealership.publish_revision(crew, "grain-cart-r2")
        self.stdout.write("\nOne unit, from the truck to its certificate, over HTTP:")
        with background_server() as address:
            run = ScriptedRun(address, self._report)
            self._progress(run.run())
            result = run.result
            self.stdout.write(
                f"  {result.entries} entries in {result.steps} steps; "
                f"{result.mistakes_caught} mistakes typed, all caught, all corrected."
            )
            certificate = self._certificate(UUID(result.unit))
            self._report(send_what_was_kept(address))
            for line in import_arrivals(address):
                self._report(line)
        self.stdout.write(f"  Certificate {certificate.number}: {self._path_of(certificate)}")
        self.stdout.write(f"  {time.monotonic() - started:.0f} s\n")

    def _certificate(self, unit: UUID) -> DocumentRequest:
        """The certificate of the prepared unit, once the background thread has made it."""
        deadline = time.monotonic() + WAIT_FOR_DOCUMENT
        while time.monotonic() < deadline:
            for request in queue.requests_of(unit).filter(kind="certificate"):
                if request.state == State.DONE:
                    return request
                if request.state == State.FAILED:
                    why = queue.failure_of(request, ENGLISH)
                    raise CommandError(f"The certificate could not be made. {why}")
            time.sleep(0.2)
        raise CommandError("The certificate was not made in time; see `manage.py make_documents`.")

    def _path_of(self, certificate: DocumentRequest) -> Path:
        return Path(settings.MEDIA_ROOT) / str(certificate.file)

    def _report(self, text: str) -> None:
        self._clear_bar()
        self.stdout.write(f"  {text}")

    def _progress(self, parts: Iterator[tuple[int, int, str]]) -> None:
        """Show a progress bar on a terminal; without one, a line for each quarter."""
        for done, total, what in parts:
            if sys.stdout.isatty():
                filled = round(BAR * done / total)
                bar = "█" * filled + "·" * (BAR - filled)
                sys.stdout.write(f"\r\x1b[K  {bar} {done}/{total}  {what[:48]}")
                sys.stdout.flush()
            elif done % max(1, total // 4) == 0:
                self.stdout.write(f"  {done}/{total}  {what}")
        self._clear_bar()

    def _clear_bar(self) -> None:
        if sys.stdout.isatty():
            sys.stdout.write("\r\x1b[K")

    def _suggest(self) -> None:
        released = (
            Unit.objects.filter(state=UnitState.RELEASED_FOR_BUYER).order_by("-released").first()
        )
        names = ", ".join(
            f"{person.username} ({role})"
            for person, role in zip(
                Person.objects.filter(
                    username__in=["tess", "noel", "mara", "sid", "ruth", "ada"]
                ).order_by("pk"),
                ("administrator", "technician", "technician", "manager", "sales", "auditor"),
                strict=True,
            )
        )
        address = settings.ADDRESS
        self.stdout.write(
            f"Open {address}\n"
            f"  sign in as {names}\n"
            f"  password {PASSWORD}, PIN {PIN}\n"
            "Try\n"
            "  · as tess: open a unit in preparation, do its next step, type 13 7/8 in\n"
            "  · as sid: which unit is ready, and what stops the rest\n"
            "  · as mara: release a unit that is not ready, and read why not\n"
            "  · as ada: People, invite somebody, and join by the code in another browser\n"
            f"  · the certificate: {address}/units/{released.pk if released else ''}/\n"
            "  · python manage.py verify, after changing anything in the database\n"
            f"  · the API: {address}/api/v1/schema"
        )
