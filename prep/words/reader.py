"""Who reads: the language, units, number style and time zone that words are written in.

Every function of this layer that makes words takes its reader as an argument. Nothing depends on
the language of the thread, so a worker can draw a document in its buyer's language.
"""

from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final, Literal

from django.utils import translation
from django.utils.translation import gettext, ngettext

LANGUAGES: Final = ("en", "es", "fr")
MOST_KEPT: Final = 16_384  # translated texts kept in memory; there are fewer

Language = Literal["en", "es", "fr"]
System = Literal["us", "metric"]


@dataclass(frozen=True)
class Reader:
    """The person, or the party, that words are written for.

    `units` is the system a value is shown in where its limit states none. `time_zone` is the IANA
    name of the yard's zone.
    """

    language: str = "en"
    units: System = "us"
    decimal_comma: bool = False
    time_zone: str = "UTC"


# For programs and for whoever has not said otherwise: the language the sources are written in.
ENGLISH: Final = Reader()


def say(reader: Reader, text: str, /, **values: Any) -> str:
    """A marked text in the reader's language, with its `{named}` values filled in.

    `text` was marked for translation with `gettext_noop` where it is written down.
    """
    translated = _translated(reader.language, text) if text else ""
    return translated.format(**values) if values else translated


@lru_cache(MOST_KEPT)
def _translated(language: str, text: str) -> str:
    """A text in a language. Kept, because switching the language costs more than looking it up."""
    with translation.override(language):
        return gettext(text)


def say_count(reader: Reader, one: str, many: str, count: int, /, **values: Any) -> str:
    """The singular or plural of a text, whichever the reader's language uses for `count`."""
    with translation.override(reader.language):
        return ngettext(one, many, count).format(count=count, **values)
