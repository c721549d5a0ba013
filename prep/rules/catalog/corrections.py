"""Corrections of a reading outside its limit, where the remedy is more or less of it.

The procedure says in its own words what makes the reading larger and what makes it smaller; the
rule says which, and by how much: to the middle of two limits, or to the only one.
"""

from dataclasses import dataclass
from typing import Annotated, Final, Protocol

from prep.rules.catalog.advice import Advice
from prep.rules.catalog.catalog import In, RuleRefusal, rule

Torque = Annotated[float, In("N·m", 0.0, 1e5)]


@rule("correcting.torque")
def torque(reading: Torque, least: Torque, most: Torque) -> Advice | None:
    """What to do about a torque outside its limit.

    Inputs:
        reading: N·m, 0 to 100000. Torque read.
        least: N·m, 0 to 100000. Lower limit.
        most: N·m, 0 to 100000. Upper limit.
    Result: what to do, or nothing between the limits.
    Formula: short of the middle by (least + most) / 2 - reading; over by reading - most.
    Source: a Navy training text: pull smoothly and aim at the middle of the range. Whether a
        fastener was stretched is a rule of its own, or stands in the manufacturer's manual.
    Example: 90 N·m where 100 to 110 are wanted -> 15 N·m more (arithmetic).

        >>> torque(90.0, 100.0, 110.0).amount
        15.0
    """
    _ordered(least, most)
    if reading < least:
        return Advice("tighten-to-middle", (least + most) / 2 - reading, "N·m")
    if reading > most:
        return Advice("loosen-and-retighten", reading - most, "N·m")
    return None


class Correction(Protocol):
    """A rule that says which way to correct a reading, and by how much."""

    def __call__(
        self,
        reading: float,
        too_small: str = "",
        too_large: str = "",
        least: float | None = None,
        most: float | None = None,
    ) -> Advice | None:
        """Advice in the unit of the reading, or nothing where it conforms."""


TO_THE_MIDDLE: Final = "to (least + most) / 2, or to the only limit"
TO_THE_NEARER: Final = "to the nearer limit, for half a stroke cannot be given"

DOCSTRING: Final = """What to do about {title} outside its limit.

Inputs:
    reading: {range}. {read}.
    too_small: text. What makes it {larger}.
    too_large: text. What makes it {smaller}.
    least: {range}. Lower limit, if there is one.
    most: {range}. Upper limit, if there is one.
Result: what to do, or nothing where it conforms.
Formula: {formula}.
Source: arithmetic; the procedure says what to do.
Example: {example} (arithmetic).

    {doctest}
"""


@dataclass(frozen=True)
class ReadingKind:
    """One kind of reading: its unit and range, and the words of its rule's docstring."""

    noun: str
    value: In
    title: str
    read: str
    example: str
    doctest: tuple[str, str]
    larger: str = "larger"
    smaller: str = "smaller"
    to_nearer_limit: bool = False

    def docstring(self) -> str:
        """Docstring of the rule, in the sections the catalog reads."""
        return DOCSTRING.format(
            title=self.title,
            range=f"{self.value.unit}, {self.value.least:g} to {self.value.most:g}",
            read=self.read,
            larger=self.larger,
            smaller=self.smaller,
            formula=TO_THE_NEARER if self.to_nearer_limit else TO_THE_MIDDLE,
            example=self.example,
            doctest=f">>> {self.doctest[0]}\n    {self.doctest[1]}",
        )


def _enter(kind: ReadingKind) -> Correction:
    """Enter `correcting.<noun>` in the catalog, with the unit and range of its kind."""

    def correct(
        reading: float,
        too_small: str = "",
        too_large: str = "",
        least: float | None = None,
        most: float | None = None,
    ) -> Advice | None:
        low, high = least, most
        if kind.to_nearer_limit:
            low, high = (least, None) if least is not None and reading < least else (None, most)
        return _more_or_less(reading, (too_small, too_large), low, high, kind.value.unit)

    number = Annotated[float, kind.value]
    correct.__annotations__ |= {"reading": number, "least": number | None, "most": number | None}
    correct.__name__ = correct.__qualname__ = kind.noun
    correct.__doc__ = kind.docstring()
    return rule(f"correcting.{kind.noun}")(correct)


def _more_or_less(
    reading: float,
    texts: tuple[str, str],
    least: float | None,
    most: float | None,
    unit: str,
) -> Advice | None:
    """Which of the procedure's two texts, or which way where it has none, and by how much.

    Between two limits, where only a guard band is short, the middle is still the place to go;
    beside a single limit there is none, and a finer instrument has to decide.
    """
    if least is not None and most is not None:
        _ordered(least, most)
        target = (least + most) / 2
    elif least is not None and reading < least:
        target = least
    elif most is not None and reading > most:
        target = most
    else:
        return None
    if target == reading:
        return None
    amount = abs(target - reading)
    text = texts[0] if reading < target else texts[1]
    if text:
        return Advice("as-procedure-says", amount, unit, how=text)
    if reading < target:
        return Advice("raise-reading", amount, unit)
    return Advice("lower-reading", amount, unit)


def _ordered(least: float, most: float) -> None:
    if least > most:
        raise RuleRefusal("least", "limits-swapped")


length = _enter(
    ReadingKind(
        "length",
        In("m", -100.0, 100.0),
        title="a length",
        read="Length read",
        larger="larger, such as “let the chain out”",
        example="a sag of 30 mm where 10 to 20 mm are wanted -> 15 mm less",
        doctest=('round(length(0.03, "let it out", "take it up", 0.01, 0.02).amount, 9)', "0.015"),
    )
)
volume = _enter(
    ReadingKind(
        "volume",
        In("m^3", 0.0, 10.0),
        title="a filled volume",
        read="Volume filled",
        example="1 L filled where 2 L are wanted -> 1 L more",
        doctest=("volume(0.001, least=0.002, most=0.002).amount", "0.001"),
    )
)
pressure = _enter(
    ReadingKind(
        "pressure",
        In("Pa", -1e5, 1e8),
        title="a pressure",
        read="Pressure read",
        example="300 kPa where 200 to 220 kPa are wanted -> 90 kPa less",
        doctest=('pressure(3e5, "add air", "let out air", 2e5, 2.2e5).amount', "90000.0"),
    )
)
mass = _enter(
    ReadingKind(
        "mass",
        In("kg", 0.0, 1e6),
        title="a mass",
        read="Mass read, or rated",
        example="a tractor of 5000 kg where 6000 kg are needed -> 1000 kg more",
        doctest=('mass(5000.0, "add ballast", "take ballast off", least=6000.0).amount', "1000.0"),
    )
)
rotation = _enter(
    ReadingKind(
        "rotation",
        In("1/s", 0.0, 1000.0),
        title="a speed of rotation",
        read="Speed read",
        larger="faster",
        smaller="slower",
        example="500 rpm where 530 to 550 rpm are wanted -> 40 rpm more",
        doctest=(
            'round(rotation(500 / 60, "open", "close", 530 / 60, 550 / 60).amount * 60, 9)',
            "40.0",
        ),
    )
)
angle = _enter(
    ReadingKind(
        "angle",
        In("rad", -3.2, 3.2),
        title="an angle",
        read="Angle read",
        example="0.02 rad where -0.01 to 0.01 rad are wanted -> 0.02 rad less",
        doctest=('angle(0.02, "raise", "lower", -0.01, 0.01).amount', "0.02"),
    )
)
count = _enter(
    ReadingKind(
        "count",
        In("count", 0.0, 1e6),
        title="a number of things",
        read="How many there were",
        larger="more",
        smaller="fewer",
        to_nearer_limit=True,
        example="2 strokes where 3 to 6 are wanted -> 1 more",
        doctest=('count(2.0, "give more strokes", "wipe off", 3.0, 6.0).amount', "1.0"),
    )
)
