"""What is away, looked at from inside: for the people who can have it mended.

Those who only meet it are told by the refusal of what they asked for.
"""

import os
import shutil
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, Final

from django.conf import settings
from django.core.cache import cache
from django.db import connection
from django.utils import timezone

from prep.actions import sealing
from prep.actions.outages.refusals import DATABASE_FAILURES, refusal_of
from prep.queries import log

LOW: Final = 500 * 1024**2  # bytes left on a disk: a busy day of pictures
FULL: Final = 20 * 1024**2
SEALED_WITHIN: Final = timedelta(minutes=10)  # a worker seals within seconds, and sweeps by itself
KEPT: Final = 15  # seconds for which pages are shown what was found last

# Without these no command can be carried out; with the others it can.
DECISIVE: Final = frozenset({"database-away", "database-busy", "disk-full", "storage-closed"})


@dataclass(frozen=True)
class Outage:
    """Something the service needs that is away: its code, and what its sentence names."""

    code: str
    values: Mapping[str, Any] = field(default_factory=dict)

    @property
    def decisive(self) -> bool:
        """Whether commands cannot be carried out for it."""
        return self.code in DECISIVE


def database() -> Iterator[Outage]:
    """The database does not answer."""
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
    except DATABASE_FAILURES as wrong:
        refusal = refusal_of(wrong)
        yield Outage(refusal.code if refusal else "database-away")


def disks() -> Iterator[Outage]:
    """A disk of the data folder or of the files is full, nearly so, or closed to the service."""
    folders = {Path(settings.DATA), Path(settings.MEDIA_ROOT)}
    there = [folder for folder in sorted(folders) if folder.exists()]
    if not all(os.access(folder, os.W_OK | os.X_OK) for folder in there):
        yield Outage("storage-closed")
    left = min((shutil.disk_usage(folder).free for folder in there), default=LOW)
    if left < FULL:
        yield Outage("disk-full")
    elif left < LOW:
        yield Outage("disk-low", {"left": left // 1024**2})


def key() -> Iterator[Outage]:
    """The signing key is missing or unfit."""
    try:
        for newest in log.public_keys()[-1:]:
            sealing.private_half(newest)
    except sealing.SealError as wrong:
        yield Outage(wrong.code, wrong.values)


def seal() -> Iterator[Outage]:
    """What was recorded has waited too long for a seal."""
    if (since := unsealed_since()) is not None:
        yield Outage("not-sealed", {"since": since})


def unsealed_since() -> datetime | None:
    """The moment since which entries have waited for a seal; None within the normal delay."""
    oldest = log.unsealed_since()
    return oldest if oldest and timezone.now() - oldest > SEALED_WITHIN else None


# Everybody who needs something more adds a check; those of the database come first.
CHECKS: Final[list[Callable[[], Iterator[Outage]]]] = [database, disks, key, seal]


def outages() -> list[Outage]:
    """Everything that is away now; without a database nothing that is kept in it can be asked."""
    found: list[Outage] = []
    for check in CHECKS:
        try:
            found.extend(check())
        except DATABASE_FAILURES as wrong:
            refusal = refusal_of(wrong)
            found.append(Outage(refusal.code if refusal else "database-away"))
        if any(one.code == "database-away" for one in found):
            break
    return found


def lately() -> list[Outage]:
    """What was away within the last seconds: pages are looked at more often than things fail."""
    known: list[Outage] | None = cache.get("outages")
    if known is None:
        cache.set("outages", known := outages(), KEPT)
    return known
