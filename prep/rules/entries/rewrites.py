"""What people write in words, in the digits and signs that the grammar knows.

Each rewrite has a pattern, what takes its place, and an example with its outcome, which a test
tries. They are applied in order, before an entry is split into numbers and units. Case and accents
do not matter. Forms: common practice, no published source.
"""

import re
from dataclasses import dataclass
from typing import Final

_NUMBERS: Final = (
    "zero cero zéro",
    "one un une uno una",
    "two deux dos",
    "three trois tres",
    "four quatre cuatro",
    "five cinq cinco",
    "six seis",
    "seven sept siete",
    "eight huit ocho",
    "nine neuf nueve",
    "ten dix diez",
    "eleven onze once",
    "twelve douze doce",
)
_VALUES: Final = {
    word: str(value) for value, words in enumerate(_NUMBERS) for word in words.split()
}
_NUMBER: Final = "|".join(sorted(_VALUES, key=len, reverse=True))
_UNIT_FOLLOWS: Final = r"(?=[ ]?[^\W\d_])"
# The article of a unit is no number one: "un peu", "a bit".
_NOT_A_BIT: Final = r"(?![ ](?:peu|poco|bit|little|hair|touch|tad)\b)"


@dataclass(frozen=True, slots=True)
class Rewrite:
    """One way of writing, and what it means in digits and signs."""

    pattern: re.Pattern[str]
    meaning: str
    example: str
    outcome: str
    quantities: frozenset[str] = frozenset()


def _rewrite(pattern: str, meaning: str, example: str, outcome: str, *quantities: str) -> Rewrite:
    compiled = re.compile(pattern, re.IGNORECASE)
    return Rewrite(compiled, meaning, example, outcome, frozenset(quantities))


REWRITES: Final = (
    # A tick, or a word that stands for one, after or before the value.
    _rewrite(r"^✓ *(?=\S)", "", "✓ 170 ft lb", "170 ft lb"),
    _rewrite(r"(?<=[^ ✓])[ ,;]*✓+[ .]*$", "", "170 ft lb ✓", "170 ft lb"),
    _rewrite(
        r"(?<=\S)[ ,;-]+\(?"
        r"(?:ok|okay|good|done|checked|bon|bien|fait|hecho|conforme|correcto?)[).! ]*$",
        "",
        "170 ft lb ok",
        "170 ft lb",
    ),
    _rewrite(r"^(?:ok|okay)[ ,:]+(?=[0-9])", "", "OK: 170 ft lb", "170 ft lb"),
    # A value within brackets, after a sign of equality, or said to be exact.
    _rewrite(r"^[(\[]([^()\[\]]+)[)\]]$", r"\1", "(14 in)", "14 in"),
    _rewrite(r"^(?:= *|exact(?:ly|ement|amente) +)(?=[0-9])", "", "exactly 14 in", "14 in"),
    # Below zero.
    _rewrite(r"^(?:minus|moins|menos) +(?=[0-9.,])", "-", "minus 5 °C", "-5 °C"),
    _rewrite(
        r"^([0-9.,]+.*?) *\b(?:below zero|bajo cero|(?:sous|au-dessous de) z[eé]ro)$",
        r"-\1",
        "5 °C bajo cero",
        "-5 °C",
        "temperature",
    ),
    # And a half, and a quarter, after the number or after its unit.
    _rewrite(
        r"\b(?:(?:and|y|et) +)(?:a +)?(?:half|medi[ao]|demie?)\b",
        "1/2",
        "1 pouce et demi",
        "1 pouce 1/2",
    ),
    _rewrite(
        r"\b(?:(?:and|y|et) +)(?:(?:a|un) +)?(?:quarter|quart|cuarto)\b",
        "1/4",
        "14 pouces et quart",
        "14 pouces 1/4",
    ),
    # Parts of one.
    _rewrite(
        r"\b(?:three[ -]quarters?|trois[ -]quarts|tres cuartos)\b",
        "3/4",
        "tres cuartos de vuelta",
        "3/4 vuelta",
    ),
    _rewrite(
        r"(?<![0-9] )\b(?:(?:an?|un) +)?"
        r"(?:quarter(?=[ -]turn| of| inch)|(?:quart|cuarto)(?= de?\b| d'))",
        "1/4",
        "un quart de tour",
        "1/4 tour",
    ),
    _rewrite(
        r"(?<![0-9] )\b(?:(?:an?|une?) +)?"
        r"(?:half(?: +of)?(?: +an?)?|demie?|medi[ao]) ?-? ?(?=[^\W\d_])",
        "1/2 ",
        "une demi-heure",
        "1/2 heure",
    ),
    _rewrite(
        r"([0-9]) (?:eighths?|octavos?|huiti[eè]mes?)\b",
        r"\1/8",
        "3 eighths of an inch",
        "3/8 inch",
    ),
    _rewrite(
        r"([0-9]) (?:sixteenths?|dieciseisavos?|seizi[eè]mes?)\b",
        r"\1/16",
        "5 sixteenths of an inch",
        "5/16 inch",
    ),
    _rewrite(r"([0-9]/[0-9]+)(?:ths?|nds?|avos?|[eè]mes?)\b", r"\1", "7/8ths in", "7/8 in"),
    # A small number in words before a unit or alone.
    _rewrite(
        rf"^(?:{_NUMBER})\b(?= *1/[24]| +[^\W\d_]){_NOT_A_BIT}",
        "#",
        "two turns",
        "2 turns",
    ),
    _rewrite(r"^an? (?=[^\W\d_]+ 1/[24])", "1 ", "an hour and a half", "1 hour 1/2"),
    _rewrite(rf"^(?:{_NUMBER})(?=[.]?$)", "#", "eight", "8", "count"),
    _rewrite(
        rf"(?:(?<=\bof )|(?<=\bde )|(?<=\bsur ))(?:{_NUMBER})$", "#", "12 of twelve", "12 of 12"
    ),
    _rewrite(
        r"^((?:pulgada|vuelta|hora|pouce|tour|litro|litre|inch|turn|hour) 1/[24])",
        r"1 \1",
        "vuelta y media",
        "1 vuelta 1/2",
    ),
    # What stands between a number and its unit, or its total, and says nothing more.
    _rewrite(
        r"([0-9])[ ](?:out of(?: the)?|of the|de l[ao]s|sur les)[ ](?=[0-9])",
        r"\1 of ",
        "12 out of 12",
        "12 of 12",
    ),
    _rewrite(
        rf"([0-9])[ ](?:(?:of(?: an?| the)?|de la|de|d'une?)\b ?|d'){_UNIT_FOLLOWS}",
        r"\1 ",
        "3/4 d'un pouce",
        "3/4 pouce",
    ),
    _rewrite(r"\b(?:full|complete) (?=turns?\b)", "", "2 full turns", "2 turns"),
    # A volt in place of the decimal mark.
    _rewrite(r"(?<=[0-9])v([0-9]{1,2})$", r".\1 V", "12V6", "12.6 V", "voltage"),
)


def in_digits(text: str, quantity: str) -> str:
    """The entry with its words written in digits and signs."""
    for each in REWRITES:
        if each.quantities and quantity not in each.quantities:
            continue
        if each.meaning == "#":
            text = each.pattern.sub(lambda word: _VALUES[word[0].lower()], text)
        else:
            text = each.pattern.sub(each.meaning, text)
    return text
