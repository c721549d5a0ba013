"""Lists, the yard page and readiness against their own statements by a bare cursor.

    YARDPROOF_DATA=$(mktemp -d) python -m tests.benchmarks.lists 1000 10000 100000

Each request goes whole through the test client. Its floor is the statements it makes, asked again
by a bare cursor that fetches every row. A ratio tells what the program adds; the last column tells
how a page grows with the table.
"""

import html
import os
import re
import sys
import tracemalloc
from collections.abc import Callable
from contextlib import closing
from typing import Any

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "prep.project.settings")
django.setup()

from django.db import connection  # noqa: E402 - after django.setup(), as Django asks
from django.test import Client  # noqa: E402

from prep.actions.accounts.tokens import sign_in  # noqa: E402
from prep.models import Person, Unit  # noqa: E402
from prep.queries.listing.asker import asker_of  # noqa: E402
from prep.queries.listing.asking import asking  # noqa: E402
from prep.queries.listing.page import all_rows  # noqa: E402
from prep.queries.lists.units import UNITS  # noqa: E402
from reports.lists.exports import EXPORTS  # noqa: E402
from tests.benchmarks.fleet import fleet  # noqa: E402
from tests.benchmarks.timing import best_of  # noqa: E402

Work = Callable[[], Any]
NEXT = re.compile(r'rel="next" href="([^"]+)"')
LIMITS = {"list": 2.5, "yard": 5.0, "yard, last page": 5.0, "readiness": 8.0}


def statements_of(work: Work) -> list[tuple[str, Any]]:
    """The statements of a piece of work, with their values."""
    asked: list[tuple[str, Any]] = []

    def note(execute: Any, sql: str, params: Any, many: bool, context: Any) -> Any:
        if sql.lstrip().upper().startswith("SELECT"):
            asked.append((sql, params))
        return execute(sql, params, many, context)

    with connection.execute_wrapper(note):
        work()
    return asked


def bare(statements: list[tuple[str, Any]]) -> Work:
    """The same statements by a bare cursor."""

    def ask() -> None:
        connection.ensure_connection()
        with closing(connection.connection.cursor()) as cursor:
            for sql, params in statements:
                cursor.execute(connection_sql(sql), params or ())
                cursor.fetchall()

    return ask


def connection_sql(sql: str) -> str:
    """A statement as the driver takes it."""
    return sql.replace("%s", "?") if connection.vendor == "sqlite" else sql


def works() -> dict[str, Work]:
    """The requests."""
    sid = Person.objects.get(username="sid")
    client, program = Client(SERVER_NAME="localhost"), Client(SERVER_NAME="localhost")
    client.force_login(sid)
    token = {"Authorization": f"Token {sign_in(sid).text}"}
    unit = Unit.objects.filter(handed_over=None).values_list("pk", flat=True).first()

    def get(address: str) -> Any:
        api = address.startswith("/api/")
        answer = program.get(address, headers=token) if api else client.get(address)
        assert answer.status_code == 200, answer.content[:300]
        return answer

    last = _last_page(get)
    return {
        "list": lambda: get("/api/v1/units"),
        "yard": lambda: get("/"),
        "yard, last page": lambda: get(last),
        "readiness": lambda: get(f"/api/v1/units/{unit}/readiness"),
    }


def _last_page(get: Callable[..., Any]) -> str:
    """The address of the yard's last page, found by walking there."""
    address = "/"
    while True:
        following = NEXT.search(get(address).content.decode())
        if following is None:
            return address
        address = f"/{html.unescape(following[1])}"


def export() -> tuple[Work, Work]:
    """The CSV export of all units, and a bare cursor loop over the same columns."""
    sid = Person.objects.get(username="sid")
    asker, asked = asker_of(sid, UNITS), asking(UNITS, {})
    columns = ", ".join(f'"{column.column}"' for column in Unit._meta.concrete_fields)

    def write() -> None:
        for _ in EXPORTS["csv"].write(asked.fields, all_rows(asked, asker)):
            pass

    def loop() -> None:
        connection.ensure_connection()
        with closing(connection.connection.cursor()) as cursor:
            cursor.execute(f"SELECT {columns} FROM prep_unit ORDER BY received DESC, id DESC")
            while cursor.fetchmany(500):
                pass

    return write, loop


def main() -> None:
    """Print the ratios for each size, and how each grows."""
    first: dict[str, float] = {}
    for size in map(int, sys.argv[1:] or ("1000",)):
        fleet(size)
        with connection.cursor() as cursor:
            cursor.execute("ANALYZE")
        print(f"{size} units, {connection.vendor}")
        for name, work in works().items():
            floor = bare(statements_of(work))
            best = best_of({"request": work, "floor": floor}, rounds=25)
            ratio, spent = best["request"] / best["floor"], best["request"]
            grown = spent / first.setdefault(name, spent)
            count = len(statements_of(work))
            print(
                f"  {name:<18}{spent * 1e3:>9.2f} ms {ratio:>7.2f} × its {count} statements"
                f" (at most {LIMITS[name]})  {grown:>6.2f} × the smallest"
            )
        write, loop = export()
        best = best_of({"export": write, "loop": loop}, rounds=3)
        tracemalloc.start()
        write()
        peak = tracemalloc.get_traced_memory()[1] / 2**20
        tracemalloc.stop()
        ratio = best["export"] / best["loop"]
        print(f"  {'CSV export':<18}{ratio:>9.2f} × a bare loop (at most 3), {peak:.1f} MiB")


if __name__ == "__main__":
    main()
