"""Units by their spellings.

A spelling that can mean two units (a gallon, pounds in a torque box) leads to all of them; whoever
reads it must ask. The spellings themselves stand in `spelling_table`.
"""

import re
from collections.abc import Iterable, Iterator
from typing import Final

from prep.rules.entries import spelling_table as table
from prep.rules.quantities.quantity import QUANTITIES, UNITS, Unit
from prep.rules.quantities.usual_units import OFFERED

_ACCENTS: Final = dict(zip("àâáäéèêëíîïóôöúûüñç", "aaaaeeeeiiiooouuunc", strict=True))
_UNACCENTED: Final = str.maketrans(_ACCENTS)
_KEY: Final = str.maketrans(_ACCENTS | dict.fromkeys(" \u00a0.·-–_*×()"))
# Kilometers per hour, kilomètres à l'heure, kilómetros por hora.
_BY: Final = re.compile(r"(?<=\S) *\b(?:per|par|por|an|a la|al|a l') *(?=[^\W\d])")


def plain(text: str) -> str:
    """Lower case without accents, as long as the text itself."""
    lowered = text.lower()
    return (lowered if len(lowered) == len(text) else text).translate(_UNACCENTED)


def key(text: str) -> str:
    """The form under which a spelling is looked up."""
    return text.lower().translate(_KEY)


def _names(unit: Unit) -> Iterator[str]:
    if unit.symbol != "1":  # nobody writes the unit one
        yield key(unit.symbol)
    yield from table.NAMES.get(unit.symbol, "").split()
    country, _, measure = unit.symbol.partition(" ")
    if country in table.COUNTRIES and measure in table.MEASURES:
        for name in table.MEASURES[measure].split():
            for word in table.COUNTRIES[country].split():
                yield from (word + name, name + word)


def _made_of_two(symbol: str) -> Iterator[str]:
    one, other, joints = table.PRODUCTS.get(symbol, ("", "", ()))
    for first in one.split():
        for second in other.split():
            for joint in joints:
                yield from (f"{first}{joint}{second}", f"{second}{joint}{first}")
    if symbol in table.QUOTIENTS:
        one, other = table.QUOTIENTS[symbol]
        for second in _spelled(other):
            yield from (f"{first}/{second}" for first in _spelled(one))


def _spelled(text: str) -> Iterable[str]:
    """The spellings of units named by their symbols, or those that are listed."""
    if text.split("+", maxsplit=1)[0] not in UNITS:
        return text.split()
    return [name for symbol in text.split("+") for name in _names(UNITS[symbol])]


def _build() -> tuple[dict[str, dict[str, tuple[Unit, ...]]], dict[str, dict[str, Unit]]]:
    sure: dict[str, dict[str, Unit]] = {name: {} for name in QUANTITIES}
    for each in UNITS.values():
        for spelling in (*_names(each), *_made_of_two(each.symbol)):
            known = sure[each.quantity].setdefault(spelling, each)
            assert known == each, (spelling, known.symbol, each.symbol)
    meant: dict[str, dict[str, tuple[Unit, ...]]] = {
        name: {spelling: (unit,) for spelling, unit in known.items()}
        for name, known in sure.items()
    }
    for quantity, spellings, symbols in (*table.DOUBTFUL, *_doubtful_flows()):
        for spelling in spellings.split():
            sure[quantity].pop(spelling, None)
            meant[quantity][spelling] = tuple(UNITS[symbol] for symbol in symbols)
    return meant, sure


def _doubtful_flows() -> Iterator[tuple[str, str, tuple[str, ...]]]:
    gallons, minutes = table.MEASURES["gal"].split(), table.QUOTIENTS["L/min"][1].split()
    spellings = (f"{gallon}/{minute}" for gallon in gallons for minute in minutes)
    yield "flow", " ".join(spellings), ("US gal/min", "imp gal/min")


# Every spelling by quantity with the units it may stand for; those that read without a question.
SPELLINGS, SURE = _build()
_CASED: Final = {
    (quantity, text): tuple(UNITS[symbol] for symbol in symbols)
    for quantity, text, symbols in table.CASED
}
# Letters that leave a doubt in some box for the sake of their capitals.
CAPITALS: Final = frozenset(text for _, text in _CASED)


def _by_quantity(spelling: str) -> tuple[str, ...]:
    return tuple(name for name, known in SPELLINGS.items() if spelling in known)


def meanings(text: str, quantity: str) -> tuple[Unit, ...]:
    """The units `text` may stand for in a box of this quantity: none, one, or ask."""
    cased = _CASED.get((quantity, text.strip()))
    known = SPELLINGS[quantity]
    return cased or known.get(key(text)) or known.get(_in_strokes(text), ())


def sure(text: str, quantity: str) -> bool:
    """Whether the spelling stands for its unit without asking."""
    if (quantity, text.strip()) in _CASED:
        return False
    return key(text) in SURE[quantity] or _in_strokes(text) in SURE[quantity]


def _in_strokes(text: str) -> str:
    return key(_BY.sub("/", plain(text)))


def quantity_of(text: str) -> str | None:
    """A quantity that has a unit spelled so, to name what was typed into the wrong box."""
    names = _by_quantity(key(text)) or _by_quantity(_in_strokes(text))
    return names[0] if names else None


def usual(quantity: str) -> tuple[Unit, ...]:
    """Units to offer for a bare number, most usual first."""
    return tuple(UNITS[symbol] for symbol in OFFERED[quantity])
