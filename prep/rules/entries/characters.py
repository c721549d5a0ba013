"""Every keyboard's and every printer's characters, in the few that the grammar knows."""

import re
import unicodedata
from fractions import Fraction
from typing import Final

from prep.rules.entries.results import EntryError


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
        "-": "\u2212\u2010\u2011\ufe63－⁻",
        "–": "—‒―",
        "/": "⁄∕／",
        ".": "٫",
        ",": "٬",
        "·": "•⋅∙‧",
        "°": "º˚",
        "°C": "℃",
        "°F": "℉",
        "µ": "μ",
        "1": "¹",
        "²": "₂",
        "✓": "✔☑✅👍√",
        " ": "\t\u3000\u2000\u2001\u2002\u2003\u2004\u2005\u2006",
        "\u00a0": "\u202f\u2007\u2008\u2009\u200a",
        ";": "\n\r\v\f\x85\u2028\u2029",
    }.items():
        table |= {ord(other): plain for other in others}
    table |= {ord(c): None for c in "\u200b\u200c\u200d\u200e\u200f\u2060\ufeff\u00ad\ufe0e\ufe0f"}
    return table


_CHARACTERS: Final = _characters()
_RAISED: Final = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉", "01234567890123456789")
_RAISED_FRACTION: Final = re.compile(r"([⁰¹²³⁴⁵⁶⁷⁸⁹]{1,3})[⁄/]([₀₁₂₃₄₅₆₇₈₉]{1,3})")
_POWER_OF_TEN: Final = re.compile(
    r"""[0-9]\.?e[+-]?[0-9]                          # 1e3
      |(?<![0-9.,])10[ ]?(?:\^|\*\*)                 # 10^3
      |[×x*·][ ]?10[ ]?[-⁻+]?[⁰¹²³⁴⁵⁶⁷⁸⁹]            # ×10³
      |[0-9][ ]?[-⁻]?[⁰¹²³⁴⁵⁶⁷⁸⁹]""",
    re.VERBOSE | re.IGNORECASE,
)
_UNCERTAINTY: Final = re.compile(r"±|\+ ?/ ?-|\+-")
# An apostrophe that parts thousands: no foot has 250 inches.
_APOSTROPHE: Final = re.compile(r"(?<=[0-9])'(?=[0-9]{3}(?![0-9]|[.,][0-9]{3}))")
_DOTS: Final = re.compile(r"\.{2,}|…")
_POWERED: Final = frozenset(
    {"area", "volume", "pressure", "particles", "viscosity", "density", "flow"}
    | {"angular acceleration"}
)
_POWER: Final = re.compile(r"(?<=[a-zA-Z])\^?([23])(?![0-9.,])")
_RECIPROCAL_OF: Final = frozenset(
    {"rotation", "particles", "thermal expansion", "speed", "flow", "angular speed"}
)
_RECIPROCAL: Final = re.compile(r"([a-zµ°]+[23²³]?)\s?\^?-1(?![0-9.,/])", re.IGNORECASE)
_PER: Final = re.compile(r"(?<![0-9])1/(?=[^\W\d_]|°)")  # 9 1/s is nine per second, no fraction


def clean(raw: str, quantity: str) -> str:
    """The entry in the few characters the grammar knows; no-break spaces are kept apart.

    Notations that no reading is written in are refused first, while they can still be told.
    """
    text = _RAISED_FRACTION.sub(lambda match: " " + match[0].translate(_RAISED), raw.strip())
    _refuse_notation(text)
    text = text.translate(_CHARACTERS).strip().replace("''", '"')
    for character in text:
        if not character.isascii() and character.isnumeric() and character not in "²³":
            raise EntryError("not-a-digit", character=character)
    text = _APOSTROPHE.sub("", _DOTS.sub("~", text))
    if quantity in _POWERED:  # in a length 5ft3 is five feet three
        text = _POWER.sub(lambda power: "²" if power[1] == "2" else "³", text)
    if quantity in _RECIPROCAL_OF:  # min⁻¹
        text = _PER.sub("/", _RECIPROCAL.sub(r"/\1", text))
    return text


def _refuse_notation(text: str) -> None:
    if _POWER_OF_TEN.search(text):
        raise EntryError("power-of-ten")
    if _UNCERTAINTY.search(text):
        raise EntryError("with-uncertainty")


_LETTER_O: Final = re.compile(r"(?<![^\W_])[0-9.,oO]++(?![^\W_])")
_LETTER_L: Final = re.compile(r"(?<![^\W_])[lI](?=[0-9])|(?<=[0-9])[lI](?=[0-9])")


def letters_as_digits(text: str) -> str:
    """The entry with a letter O or l inside a number replaced by the digit it looks like."""

    def zeros(match: re.Match[str]) -> str:
        run = match[0]
        if any("0" <= character <= "9" for character in run):
            return run.replace("o", "0").replace("O", "0")
        return run

    return _LETTER_L.sub("1", _LETTER_O.sub(zeros, text))
