"""Every lock a command takes, in the one order that all commands take them.

1. named sets, by name: shared by whoever reads a set, exclusive for whoever changes it;
2. rows a decision reads (instruments, buyers), shared;
3. rows of the streams a command writes to, exclusive: buyers before units, units by id.

On SQLite each transaction begins IMMEDIATE and so has the whole database; there these take nothing.
"""

from collections.abc import Iterable
from typing import Any, Final, TypeVar

from django.db import connection, models

M = TypeVar("M", bound=models.Model)

# The sets that decisions read as a whole, each with the number of its advisory lock.
NAMED_SETS: Final = {
    "models": 1,
    "procedures": 2,
    "serials": 3,
    "wordings": 4,
    "manufacturers": 5,
    "files": 6,
    "members": 7,
}
SPACE: Final = 0x59415244  # first half of the advisory locks' keys, so that they are ours alone


def lock_sets(read: Iterable[str], changed: Iterable[str]) -> None:
    """Lock named sets until the transaction ends, sorted by name."""
    if connection.vendor != "postgresql":
        return
    exclusive = set(changed)
    with connection.cursor() as cursor:
        for name in sorted(exclusive | set(read)):
            shared = "" if name in exclusive else "_shared"
            cursor.execute(
                f"SELECT pg_advisory_xact_lock{shared}(%s, %s)", [SPACE, NAMED_SETS[name]]
            )


def share(table: type[M], key: Any) -> M | None:
    """A row, shared until the transaction ends: nobody changes it meanwhile. None for none."""
    name, column = table._meta.db_table, table._meta.pk.column
    shared = " FOR SHARE" if connection.vendor == "postgresql" else ""
    query = f'SELECT * FROM "{name}" WHERE "{column}" = %s{shared}'
    prepared = table._meta.pk.get_db_prep_value(key, connection)
    return next(iter(table._default_manager.raw(query, [prepared])), None)


def lock(table: type[M], key: Any) -> M | None:
    """A row, ours alone until the transaction ends. None for none."""
    return table._default_manager.select_for_update().filter(pk=key).first()
