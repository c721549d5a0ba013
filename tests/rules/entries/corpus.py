"""The corpus of judged entries: what people write, and what it has to be taken for."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any, Final

import yaml

from prep.rules.entries.read import Result, read
from prep.rules.quantities.quantity import Measured, unit

FILES: Final = sorted(Path(__file__).parent.glob("corpus_*.yaml"))
STYLES: Final = {"comma": True, "point": False, None: None}
NUMBER: Final = re.compile(r"-?[0-9.]+(/[0-9]+)?")
BARE: Final = {"count": "count"}


@dataclass(frozen=True)
class Case:
    """One entry with what it has to be taken for; `expected` depends on the `kind`."""

    text: str
    box: str
    kind: str
    expected: Any
    decimal_comma: bool | None
    unit: str
    language: str
    why: str
    source: str

    def read(self) -> Result:
        """What the reader takes it for."""
        chosen = unit(self.unit) if self.unit else None
        return read(self.text, self.box, decimal_comma=self.decimal_comma, unit=chosen)

    def __str__(self) -> str:
        return f"{self.kind} {self.box}: {self.text}"


def cases() -> Iterator[Case]:
    """Every case of every file."""
    for file in FILES:
        for group in yaml.safe_load(file.read_text(encoding="utf-8")):
            for kind, text, expected in _entries(group):
                yield Case(
                    text,
                    group["box"],
                    kind,
                    expected,
                    STYLES[group.get("style")],
                    str(group.get("unit", "")),
                    group.get("language", "any"),
                    group["why"],
                    group["source"],
                )


def _entries(group: dict[str, Any]) -> Iterator[tuple[str, str, Any]]:
    for kind in ("reads", "refuses", "notes", "unmeasured"):
        for expected, texts in group.get(kind, {}).items():
            for text in texts:
                yield kind, str(text), str(expected)
    for text, choices in group.get("asks", {}).items():
        yield "asks", str(text), [str(choice) for choice in choices]


def value(text: str, box: str) -> Measured:
    """A value as the corpus writes it: `13 7/8 in`, `-5 °C`, `1.93 1` of a ratio."""
    words = text.split()
    symbol = BARE.get(box, "") or (words.pop() if box == "ratio" else "")
    number = Fraction(0)
    while words and NUMBER.fullmatch(words[0]):
        word = words.pop(0)
        number += Fraction(word.lstrip("-"))
    return Measured(-number if text.startswith("-") else number, unit(symbol or " ".join(words)))
