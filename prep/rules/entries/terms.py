"""Split an entry into numbers with their units, and into what stands between them."""

import re
from dataclasses import dataclass
from typing import Final

from prep.rules.entries.number import NUMBER, Number, meanings
from prep.rules.entries.results import EntryError

# What joins two numbers, by the letter that stands for it in a shape (see `grammar`).
JOINTS: Final[dict[str, str]] = {
    "(": "( [ {",
    "/": "/",
    "=": "=",
    ",": ",",
    ";": ";",
    ":": ":",
    "+": "+ &",
    "-": "- –",
    "~": "~",
    "x": "x × * by par por",
    "a": "and et y con with",
    "|": "| or ou o",
    "t": "to through thru until hasta a à",
    "o": "of de sur",
}
_JOINT_OF: Final = {text: letter for letter, texts in JOINTS.items() for text in texts.split()}
_JOINT: Final = "|".join(
    rf"\b{re.escape(each)}\b" if each.isalpha() else re.escape(each)
    for each in sorted(_JOINT_OF, key=len, reverse=True)
)
# Between two numbers: the first one's unit, then perhaps what joins them, then a sign.
_BETWEEN: Final = re.compile(
    rf"(?P<unit>.*?)\s*+(?P<joint>{_JOINT})?\s*+(?P<sign>[-+])?\s*+", re.IGNORECASE
)
_ENDS: Final = " .,;:!\u00a0"  # a mark may end a sentence, a point an abbreviation
_FROM: Final = frozenset({"between", "from", "entre", "de", "desde", "du"})
# Turns of an adjuster are parted as angles are, though they are counted.
_TURNS: Final = re.compile(r"turn|tour|vuelta", re.IGNORECASE)
_SIGNS: Final = frozenset({"", "+", "-", "–"})


@dataclass(frozen=True, slots=True)
class Term:
    """A number's possible meanings, the unit written after it, and what joins it to the last."""

    numbers: tuple[Number, ...]
    unit_text: str
    joint: str
    negative: bool


def split(text: str, quantity: str, decimal_comma: bool | None) -> list[Term]:
    """The entry as terms; EntryError if something other than numbers and units is in it."""
    matches = list(NUMBER.finditer(text))
    joint, sign = _lead(text[: matches[0].start()].strip(), len(matches))
    terms = []
    parted = "angle" if quantity == "count" and _TURNS.search(text) else quantity
    for match, following in zip(matches, [*matches[1:], None], strict=True):
        numbers = tuple(meanings(match, parted, decimal_comma))
        gap = text[match.end() : following.start() if following else len(text)]
        between = _BETWEEN.fullmatch(gap) if following else None
        unit_text = (between["unit"] if between else gap).strip(_ENDS)
        if following is None and joint == "(":
            unit_text = unit_text.rstrip(")]}" + _ENDS)
        terms.append(Term(numbers, unit_text, joint, sign in {"-", "–"}))
        joint = _JOINT_OF.get((between["joint"] or "").lower(), " ") if between else " "
        sign = (between["sign"] or "") if between else ""
    return terms


def _lead(lead: str, numbers: int) -> tuple[str, str]:
    """What joins the first number to what stands before it, and its sign."""
    if lead in _SIGNS:
        return "", lead
    if numbers == 1:
        raise EntryError("number-first", typed=lead)
    if numbers == 2 and lead.lower() in _FROM:
        raise EntryError("range")
    raise EntryError("several-values")


def shape(terms: list[Term]) -> str:
    """The terms in letters: N for a number, F for a fraction of one, u for a unit, and what joins.

    `14 in / 356 mm` is `Nu/Nu`, `14 po 1/4` is `Nu F`.
    """
    return "".join(
        term.joint
        + ("F" if len(term.numbers) == 1 and term.numbers[0].proper else "N")
        + ("u" if term.unit_text else "")
        for term in terms
    )
