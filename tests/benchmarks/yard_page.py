"""The yard page with 24 and with 500 units, as ratios to reading one page's rows.

Index rows are copied, not sheets worked: the page reads nothing else. Run with YARDPROOF_DATA
naming an empty folder, which is filled and left.
"""

import os
from uuid import UUID, uuid5

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "prep.project.settings")
django.setup()

from django.db.models import Q  # noqa: E402 - after django.setup(), as Django asks
from django.test import Client  # noqa: E402

from prep.models import Person, Unit  # noqa: E402
from prep.pages.views.yard import SHOWN  # noqa: E402
from prep.queries.people import sites_of  # noqa: E402
from prep.queries.yard import units_in_yard  # noqa: E402
from tests.benchmarks.many import dealership  # noqa: E402
from tests.benchmarks.timing import best_of, table  # noqa: E402

COPIES = UUID("6f0f3c52-7a8e-4d0b-9a57-3b1d0f4f6a11")
HERE = Q(handed_over=None)
MANY = 500


def main() -> None:
    """Print the ratios."""
    dealership(24)
    few = Unit.objects.count()
    for number, row in enumerate(list(Unit.objects.values()) * (MANY // few)):
        if Unit.objects.count() < MANY:
            copy = {"id": uuid5(COPIES, str(number)), "serial": f"{row['serial']}-{number}"}
            Unit(**{**row, **copy}).save(force_insert=True)
    person = Person.objects.get(username="sid")
    sites = list(sites_of(person))
    client = Client(SERVER_NAME="localhost")
    client.force_login(person)

    def page(query: str) -> None:
        assert client.get(f"/{query}").status_code == 200

    works = {
        "read one page's rows": lambda: units_in_yard(sites, HERE, "", first=0, most=SHOWN),
        f"first page of {MANY}": lambda: page(""),
        f"last page of {MANY}": lambda: page("?page=9"),
        "found by its serial": lambda: page("?q=RC1520261040417"),
    }
    print(table(best_of(works), "read one page's rows", unit="ms"))


if __name__ == "__main__":
    main()
