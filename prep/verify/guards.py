"""Verification of the database's own guards: the triggers that keep the log from being changed."""

from collections.abc import Iterator

from django.db import connection

from prep.models import triggers
from prep.verify.findings import Code, Finding, Tell


def guards(tell: Tell) -> Iterator[Finding]:
    """Check that every trigger stands as it was made, enabled, and that none was added."""
    right, there = triggers.expected(connection), triggers.standing(connection)
    for name in sorted(right.keys() | there.keys()):
        code: Code | None = None
        if name not in there:
            code = "guard-missing"
        elif name not in right:
            code = "guard-added"
        elif there[name] != right[name]:
            code = "guard-altered"
        if code:
            yield Finding("guard", name, code, {"trigger": name})
    tell("guards", len(right), len(right))
