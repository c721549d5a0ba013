"""A small reader of UCUM's own table of units, and of the codes that are made of it.

The grammar of codes is that of The Unified Code for Units of Measure, sections 2.1 to 2.4, as far
as the units of this project go: terms, one solidus after another, exponents, annotations.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from xml.etree.ElementTree import parse

_PART = re.compile(r"(?P<mark>[./]?)(?P<note>\{[^}]*\})?(?P<atom>[^./{}]*)")
_SIMPLE = re.compile(
    r"(?P<ten>10[*^])?(?P<symbol>(?:\[[^\]]*\]|[^\d+\-\[\]])+)?(?P<power>[+-]?\d+)?"
)
_POWER_OF_TEN = re.compile(r"(?P<digits>[\d.]+)(?:e(?P<power>-?\d+))?")


@dataclass(frozen=True)
class Magnitude:
    """A number times powers of UCUM's base units."""

    factor: Fraction
    dimension: Mapping[str, int] = field(default_factory=dict)

    def times(self, other: "Magnitude", power: int = 1) -> "Magnitude":
        """The product with a power of another."""
        joined = dict(self.dimension)
        for base, exponent in other.dimension.items():
            joined[base] = joined.get(base, 0) + power * exponent
        kept = {base: exponent for base, exponent in joined.items() if exponent}
        return Magnitude(self.factor * other.factor**power, kept)


class Ucum:
    """UCUM's base units, prefixes and definitions, read from its XML."""

    def __init__(self, file: Path) -> None:
        root = parse(file).getroot()
        space = {"u": root.tag.partition("}")[0].lstrip("{")}
        self._prefixes = {
            each.attrib["Code"]: _exact(each.find("u:value", space).attrib["value"])  # type: ignore[union-attr]  # every prefix has a value
            for each in root.findall("u:prefix", space)
        }
        self._base = {each.attrib["Code"] for each in root.findall("u:base-unit", space)}
        self._defined: dict[str, tuple[Fraction, str]] = {}
        self.metric = set(self._base)
        for each in root.findall("u:unit", space):
            value = each.find("u:value", space)
            assert value is not None
            function = value.find("u:function", space)
            number = value if function is None else function
            unit = value.attrib["Unit"] if function is None else function.attrib["Unit"]
            self._defined[each.attrib["Code"]] = (_exact(number.attrib["value"]), unit)
            if each.attrib["isMetric"] == "yes":
                self.metric.add(each.attrib["Code"])

    def magnitude(self, code: str) -> Magnitude:
        """What a code stands for."""
        result = Magnitude(Fraction(1))
        for part in _PART.finditer(code):
            if part["atom"]:
                result = result.times(self._simple(part["atom"]), -1 if part["mark"] == "/" else 1)
        return result

    def _simple(self, text: str) -> Magnitude:
        match = _SIMPLE.fullmatch(text)
        assert match, text
        if match["ten"]:
            return Magnitude(Fraction(10) ** int(match["power"] or 1))
        if not match["symbol"]:
            return Magnitude(Fraction(text))
        power = int(match["power"] or 1)
        return Magnitude(Fraction(1)).times(self._symbol(match["symbol"]), power)

    def _symbol(self, symbol: str) -> Magnitude:
        if symbol in self._base:
            return Magnitude(Fraction(1), {symbol: 1})
        if symbol in self._defined:
            factor, unit = self._defined[symbol]
            return Magnitude(factor).times(self.magnitude(unit))
        for prefix, factor in self._prefixes.items():
            rest = symbol.removeprefix(prefix)
            if rest != symbol and rest in self.metric:
                return Magnitude(factor).times(self._symbol(rest))
        raise KeyError(f"UCUM defines no unit “{symbol}”.")


def _exact(text: str) -> Fraction:
    match = _POWER_OF_TEN.fullmatch(text)
    assert match, text
    return Fraction(match["digits"]) * Fraction(10) ** int(match["power"] or 0)
