"""System check: nobody else on this machine can read the records, the files, the keys.

The service closes whatever it makes (`prep.project.env`); what an earlier release made, or somebody
copied back from a backup, may be open.
"""

import os
import shlex
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

from django.conf import settings
from django.core.checks import CheckMessage, Warning, register

OTHERS: Final = 0o077
OPEN: Final = "yardproof.W001"
# What the service keeps in its data folder. Other things may lie there, such as an environment.
RECORDS: Final = ("yardproof.sqlite3*", "secret_key", "beat-schedule*", "mail", "files", "keys")


@register
def closed_files(**options: Any) -> list[CheckMessage]:
    """A warning for each place where others can read something, with the command that mends it."""
    if os.name != "posix":
        return []
    return [_warning(place, found) for place in _places() if (found := list(_open_in(place)))]


def _places() -> list[Path]:
    """The data folder, what the service keeps in it, and the keys where they lie elsewhere."""
    data = Path(settings.DATA)
    inside = (path for pattern in RECORDS for path in sorted(data.glob(pattern)))
    return list(dict.fromkeys([data, *inside, Path(settings.KEYS)]))


def _open_in(place: Path) -> Iterator[Path]:
    """Paths that others have any right to: the place, and what it holds but for the data folder."""
    if place.exists() and place.lstat().st_mode & OTHERS and not place.is_symlink():
        yield place
    if place != Path(settings.DATA) and place.is_dir():
        for folder, folders, files in os.walk(place):
            for name in (*folders, *files):
                path = Path(folder, name)
                if not path.is_symlink() and path.lstat().st_mode & OTHERS:
                    yield path


def _warning(place: Path, found: list[Path]) -> CheckMessage:
    more = f" and {len(found) - 1} more below {place}" if len(found) > 1 else ""
    recursive = "-R " if found != [Path(settings.DATA)] and place.is_dir() else ""
    return Warning(
        f"Others on this machine can open {found[0]}{more}.",
        hint=f"Close it with: chmod {recursive}go= {shlex.quote(str(place))}",
        id=OPEN,
    )
