"""The tiles of the yard page that a unit counts under, from its index row alone."""

from collections.abc import Mapping
from typing import Any

# Tiles that depend on nothing but the unit's own row; each site keeps a count of each.
FACETS = ("here", "stock", "buyer", "promised", "not", "flags", "gone", "register")


def facets(row: Mapping[str, Any]) -> frozenset[str]:
    """Names of the tiles that a unit counts under."""
    if row["joined_into"]:
        return frozenset()
    here, sold = row["handed_over"] is None, bool(row["buyer"])
    counted = {
        "here": here,
        "stock": here and row["ready_for_stock"] and not sold,
        "buyer": here and row["ready_for_buyer"],
        "promised": here and sold and not row["ready_for_buyer"],
        "not": here and not row["ready_for_stock"],
        "flags": here and row["open_flags"] > 0,
        "gone": not here,
        "register": row["registration"] in {"due", "refused"},
    }
    return frozenset(name for name, counts in counted.items() if counts)
