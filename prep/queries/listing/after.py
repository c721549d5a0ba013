"""The condition that a row comes after another in an order of several columns."""

from collections.abc import Sequence
from typing import Any

from django.db.models import BooleanField, F, Func, Value


class _Rows(Func):
    """Two rows of values compared as a whole: `(a, b) < (x, y)`.

    Both databases answer that from one range of an index. Written out with OR, as the framework
    does on SQLite, it takes the index of each part and sorts what they give.
    """

    output_field = BooleanField()

    def as_sql(  # type: ignore[override]  # the values have the types of the columns
        self, compiler: Any, connection: Any, **more: Any
    ) -> tuple[str, tuple[Any, ...]]:
        """The first half of the expressions is one row, the second half the other."""
        compiled = [compiler.compile(one) for one in self.source_expressions]
        half = len(compiled) // 2
        left, right = (
            ", ".join(sql for sql, _ in part) for part in (compiled[:half], compiled[half:])
        )
        params = tuple(value for _, values in compiled for value in values)
        return f"({left}) {self.extra['operator']} ({right})", params


def after(columns: Sequence[Any], values: Sequence[Any], *, descending: bool) -> Func:
    """Rows after these values of the columns; in a descending order those below them."""
    wanted = [
        Value(value, output_field=column) for column, value in zip(columns, values, strict=True)
    ]
    names = [F(column.attname) for column in columns]
    return _Rows(*names, *wanted, operator="<" if descending else ">")
