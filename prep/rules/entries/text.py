"""Clean an entry's characters and recognize the entries that are no measurement at all."""

import re
import unicodedata
from fractions import Fraction
from typing import Final

from prep.rules.entries.results import EntryError
from prep.rules.phrase import Phrase, phrase


def _characters() -> dict[int, str | None]:
    table: dict[int, str | None] = {
        0xFF01 + offset: chr(0x21 + offset)
        for offset in range(94)  # full-width letters and digits
    }
    for ones in ("٠١٢٣٤٥٦٧٨٩", "۰۱۲۳۴۵۶۷۸۹"):
        table |= {ord(digit): str(value) for value, digit in enumerate(ones)}
    for vulgar in "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞":
        part = Fraction(unicodedata.numeric(vulgar)).limit_denominator(10)
        table[ord(vulgar)] = f" {part}"
    for plain, others in {
        "'": "’‘′´`ʹ‛＇",
        '"': "”“″„ʺ‟＂",
        "-": "\u2212\u2010\u2011\ufe63－",
        "–": "—‒―",
        "/": "⁄∕／",
        ".": "٫",
        ",": "٬",
        "·": "•⋅∙×‧",
        "°": "º˚",
        "°C": "℃",
        "°F": "℉",
        "µ": "μ",
        " ": "\t\u3000\u2000\u2001\u2002\u2003\u2004\u2005\u2006",
        "\u00a0": "\u202f\u2007\u2008\u2009\u200a",
        ";": "\n\r\v\f\x85\u2028\u2029",
    }.items():
        table |= {ord(other): plain for other in others}
    table |= {ord(c): None for c in "\u200b\u200c\u200d\u200e\u200f\u2060\ufeff\u00ad\ufe0e\ufe0f"}
    return table


_CHARACTERS: Final = _characters()
_POWER: Final = re.compile(r"(?<=[a-zA-Z])\^?([23])(?![0-9.,])")
_PER: Final = re.compile(r"(?<![0-9])1/(?=[^\W\d_]|°)")  # 9 1/s is nine per second, no fraction


def clean(raw: str, quantity: str) -> str:
    """The entry in the few characters the grammar knows; no-break spaces are kept apart."""
    text = raw.strip().translate(_CHARACTERS).strip().replace("''", '"')
    for character in text:
        if not character.isascii() and character.isnumeric() and character not in "²³":
            raise EntryError("not-a-digit", character=character)
    if quantity not in {"length", "angle", "count"}:  # there 5ft3 is five feet three
        text = _POWER.sub(lambda power: "²" if power[1] == "2" else "³", text)
    if quantity in {"rotation", "particles", "thermal expansion"}:
        text = _PER.sub("/", text)
    return text


_WORDS: Final = frozenset(
    re.findall(
        "[a-z]+",
        """
        ok okay oked okd good fine done full check checked yes yep pass passed same ditto tight snug
        torqued greased filled level complete completed normal none no nil correct new
        bon bonne fait plein pleine verifie oui idem pareil serre serree complet conforme
        lleno llena bien bueno buena hecho hecha listo lista revisado si igual mismo misma apretado
        correcto verificado completo
        """,
    )
)
_NOT_APPLICABLE: Final = frozenset({"n/a", "na", "s/o", "n/ap", "noaplica", "notapplicable"})
_MARKS: Final = re.compile(r"[✓✔☑✅√👍xX/\\\"'\-–=.:;,*\s\u00a0]+")
_APPROXIMATE: Final = re.compile(
    r"""^[\s(]*(?:[~≈≃≅∼<>≤≥]
      |(?:about|around|roughly|nearly|almost|over|under|above|below|say|maybe|probably
         |at\ least|at\ most|more\ than|less\ than|up\ to|approx[a-z]*|ca|c|circa
         |environ|env|presque|plus\ de|moins\ de|vers
         |aprox[a-z]*|casi|unos|mas\ de|menos\ de|cerca\ de|alrededor\ de)\b)
    |[0-9]\s*(?:\+|-?ish\b)
    |\b(?:ish|approx[a-z]*|environ|aprox[a-z]*|circa|or\ so|or\ more|or\ less)\.?\s*$
    |[+?]\s*$""",
    re.VERBOSE,
)


def why_no_measurement(text: str, spelled: str) -> Phrase | None:
    """Why the entry is a note and not a value; None if it may be one.

    `text` is the clean entry; `spelled` the same without accents and capitals.
    """
    if any("0" <= character <= "9" for character in text):
        if _APPROXIMATE.search(spelled):
            return phrase("approximate")
        return None
    if spelled.replace(" ", "").replace(".", "") in _NOT_APPLICABLE:
        return phrase("not-applicable")
    if _MARKS.fullmatch(text) or _WORDS.intersection(re.findall(r"[a-z]+", spelled)):
        return phrase("note-only")
    return None


_EXPONENT: Final = re.compile(r"[0-9]\.?e[+-]?[0-9]", re.IGNORECASE)
_LETTER_O: Final = re.compile(r"(?<![^\W_])[0-9.,oO]++(?![^\W_])")
_LETTER_L: Final = re.compile(r"(?<![^\W_])[lI](?=[0-9])|(?<=[0-9])[lI](?=[0-9])")


def refuse_notation(text: str) -> None:
    """Raise EntryError for notations a reading is never written in."""
    if _EXPONENT.search(text):
        raise EntryError("power-of-ten")
    if "±" in text or "+/-" in text or "+-" in text:
        raise EntryError("with-uncertainty")


def letters_as_digits(text: str) -> str:
    """The entry with a letter O or l inside a number replaced by the digit it looks like."""

    def zeros(match: re.Match[str]) -> str:
        run = match[0]
        if any("0" <= character <= "9" for character in run):
            return run.replace("o", "0").replace("O", "0")
        return run

    return _LETTER_L.sub("1", _LETTER_O.sub(zeros, text))
