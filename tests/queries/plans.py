"""How the database would carry out a query: whether it has to sort what it finds."""

from typing import Any

from django.db import connection
from django.db.models import QuerySet

# A table of a few rows is sorted sooner than read in order. Switched off, a plan sorts only where
# nothing else gives the order; then it is still said.
AVOIDED = ("seqscan", "bitmapscan", "sort", "incremental_sort")


def plan_without_sorting(rows: QuerySet[Any, Any]) -> str:
    """The plan of a query by a database that sorts only where it must."""
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            for way in AVOIDED:
                cursor.execute(f"SET LOCAL enable_{way} = off")
    return rows.explain()


def sorts(plan: str) -> bool:
    """Whether a plan sorts, in the words of either database."""
    return "Sort" in plan or "TEMP B-TREE" in plan
