"""Peak memory of the embedded server while fifty people use it at once.

    YARDPROOF_DATA=$(mktemp -d) python -m tests.benchmarks.clients 1000

The server is the one `manage.py serve` starts, a process of its own. Each client asks, in turn, for
what people ask all day: the yard page, a list, a unit, its sheet, readiness, the log, an export; a
technician raises flags meanwhile, and the office asks for a verification. The peak is the kernel's
own figure (`VmHWM`, so Linux only).
"""

import json
import os
import re
import socket
import subprocess
import sys
import time
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from itertools import cycle, islice
from pathlib import Path
from typing import NamedTuple
from urllib.error import HTTPError
from urllib.request import Request, urlopen
from uuid import uuid4

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "prep.project.settings")
django.setup()

from django.test import Client  # noqa: E402 - after django.setup(), as Django asks

from prep.actions.accounts.tokens import sign_in  # noqa: E402
from prep.models import Event, Person, Unit  # noqa: E402
from reports.models import DocumentRequest, State  # noqa: E402
from tests.benchmarks.fleet import fleet  # noqa: E402

CLIENTS, TURNS, LIMIT = 50, 20, 200
PEAK = re.compile(r"VmHWM:\s+(\d+) kB")


class Ask(NamedTuple):
    """One request: who asks, for what address, with which JSON body (then it is a POST)."""

    person: str
    address: str
    body: dict[str, str] | None = None


VERIFICATION = Ask("ruth", "/api/v1/documents", {"kind": "verification"})


def day() -> list[Ask]:
    """What each client asks for, in turn."""
    started = Event.objects.filter(kind="sheet.started").values_list("stream_id", flat=True)
    unit = Unit.objects.filter(handed_over=None, pk__in=list(started))[0].pk
    return [
        Ask("ruth", "/"),
        Ask("ruth", f"/units/{unit}/"),
        *(
            Ask("ruth", f"/api/v1/{address}")
            for address in (
                "units",
                f"units/{unit}",
                f"units/{unit}/sheet",
                f"units/{unit}/readiness",
                "units?export=csv",
                "log",
            )
        ),
        Ask("tess", f"/api/v1/units/{unit}/flag/raise", {"text": "Decal torn"}),
    ]


class Server:
    """The embedded server in a process of its own, and the people signed in to it."""

    def __init__(self) -> None:
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            port = free.getsockname()[1]
        self.base = f"http://127.0.0.1:{port}"
        self.signed_in = {name: _signed_in(name) for name in ("ruth", "tess")}
        command = [sys.executable, "manage.py", "serve", "--port", str(port)]
        quiet = subprocess.DEVNULL
        self.process = subprocess.Popen(command, stdout=quiet, stderr=quiet)

    def ask(self, asked: Ask) -> int:
        """Status of one request, its answer read to the end."""
        token, cookies = self.signed_in[asked.person]
        is_api = asked.address.startswith("/api/")
        headers = {"Authorization": token} if is_api else {"Cookie": cookies}
        body = None
        if asked.body is not None:
            body = json.dumps(asked.body).encode()
            headers |= {"Content-Type": "application/json", "Idempotency-Key": str(uuid4())}
        try:
            with urlopen(Request(self.base + asked.address, body, headers), timeout=300) as answer:
                while answer.read(1 << 16):
                    pass
                return int(answer.status)
        except HTTPError as refused:
            return refused.code

    def wait(self) -> None:
        """Wait until it answers."""
        for _ in range(300):
            try:
                self.ask(Ask("ruth", "/healthy"))
            except OSError:
                time.sleep(0.2)
            else:
                return
        raise SystemExit("The server did not start.")

    def peak(self) -> int:
        """The most memory it has held so far, in MiB."""
        found = PEAK.search(Path(f"/proc/{self.process.pid}/status").read_text())
        assert found is not None
        return int(found[1]) // 1024

    def stop(self) -> None:
        """End it."""
        self.process.terminate()
        self.process.wait(30)


def _signed_in(name: str) -> tuple[str, str]:
    """A token and a session's cookies of a person of the demonstration."""
    person = Person.objects.get(username=name)
    browser = Client(SERVER_NAME="localhost")
    browser.force_login(person)
    cookies = "; ".join(f"{key}={morsel.value}" for key, morsel in browser.cookies.items())
    return f"Token {sign_in(person).text}", cookies


def main() -> None:
    """Print the peak after the start, with fifty clients, and after a verification."""
    fleet(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
    server, asked = Server(), list(islice(cycle(day()), CLIENTS * TURNS))
    try:
        server.wait()
        print(f"after the start        {server.peak():>4} MiB")
        with ThreadPoolExecutor(CLIENTS) as clients:
            statuses = list(clients.map(server.ask, asked))
        for (address, status), count in Counter(
            (one.address, status) for one, status in zip(asked, statuses, strict=True)
        ).items():
            print(f"  {count:>4} × {status} {address}")
        print(f"with {CLIENTS} clients        {server.peak():>4} MiB (at most {LIMIT})")
        server.ask(VERIFICATION)
        while DocumentRequest.objects.exclude(state__in=[State.DONE, State.FAILED]).exists():
            time.sleep(0.5)
        print(f"after a verification   {server.peak():>4} MiB")
    finally:
        server.stop()


if __name__ == "__main__":
    main()
