"""The service's modules, as the architecture tests read them."""

import ast
from collections.abc import Iterator
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).parents[2]
PACKAGES: Final = ("prep", "api", "reports")


def modules() -> Iterator[tuple[str, Path]]:
    """Every module but the migrations, with its path from the root."""
    for package in PACKAGES:
        for path in sorted((ROOT / package).rglob("*.py")):
            name = path.relative_to(ROOT).as_posix()
            if "/migrations/" not in name:
                yield name, path


def parsed(path: Path) -> ast.Module:
    """The syntax tree of a module."""
    return ast.parse(path.read_text())
