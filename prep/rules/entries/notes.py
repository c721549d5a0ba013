"""Entries that are no value: "not measured, because …", approximations, words and marks.

The phrases are those of shops in three languages, without accents: common practice, no published
source. To know another, add it to its list.
"""

import re
from typing import Final

from prep.rules.entries.results import EntryError
from prep.rules.entries.spellings import plain
from prep.rules.phrase import Phrase, phrase


def _any_of(*phrases: str) -> str:
    """A pattern for any of the phrases, a line each, the longest first; a blank is any blanks."""
    lines = {each.strip() for text in phrases for each in text.splitlines() if each.strip()}
    return "|".join(sorted(lines, key=len, reverse=True)).replace(" ", "[ \\u00a0]+")


# "Not measured", and "does not apply", which needs its reason just the same.
_UNMEASURED: Final = r"""
    (?:was |were )?(?:not|never) (?:been )?(?:measured|taken|read|checked|done|possible to measure)
    skipped
    omitted
    unmeasured
    (?:could\s?n[o']t|could not|can\s?not|can't|unable to) (?:be )?(?:measured?|take|read)
    (?:did\s?n[o']t|did not) (?:measure|take|read)
    no (?:se )?(?:pudo|puede|pude|pudimos|podia) (?:medir|tomar|leer)(?:lo|la|se)?
    no se (?:midio|mide|tomo|hizo|ha medido)
    no (?:lo |la )?medi
    no (?:fue )?medid[oa]s?
    sin medir
    imposible (?:de )?medir
    (?:non|pas|jamais)[\s-](?:encore |ete )?mesuree?s?
    pas (?:pu )?mesurer
    (?:je |on )?(?:n'ai |n'a |ne )pas (?:ete |pu |pu etre )?mesure[er]?s?
    pas fait
    omise?
    (?:non|pas) pris
    mesure impossible
    impossible (?:de|a) mesurer
    not applicable
    does not apply
    no aplica(?:ble)?
    sans objet
    ne s'applique pas
    n/\s?ap?
    n\.a\.
    na
    s/\s?o
    s\.o\.
"""
_BECAUSE: Final = r"""
    because(?: of)?
    since
    due to
    as
    porque
    ya que
    pues
    debido a(?:l)?
    por
    parce que?'?
    puisque?'?
    car
    faute de
    a cause (?:de|du|d')
"""
_DECLARED: Final = re.compile(
    rf"[\s(\"']*(?:{_any_of(_UNMEASURED)})(?![a-z0-9])"
    rf"(?P<link>[\s,:;.(–—-]*(?:\b(?:{_any_of(_BECAUSE)})(?:(?<=')|(?![a-z])))?[\s:,]*)(?P<because>.*)",
    re.DOTALL,
)
# "Not yet" is no reason.
_SAYS_SOMETHING: Final = re.compile(r"(?!(?:yet|now|today|aun|todavia|encore)[\s.!]*$).*[^\W_]{2}")


def why_unmeasured(raw: str) -> str | None:
    """The reason somebody gives for not measuring; None if the entry says no such thing.

    EntryError where the reason is missing.
    """
    spelled = plain(raw.replace("’", "'"))
    match = _DECLARED.fullmatch(spelled)
    if match is None:
        return None
    because = raw[match.start("because") :].strip().rstrip(")").rstrip()
    if not _SAYS_SOMETHING.match(plain(because)):
        raise EntryError("reason-missing")
    return because


_BEFORE: Final = r"""
    about
    around
    roughly
    nearly
    almost
    (?:just |a (?:bit|little|hair|touch|tad) )?(?:over|under|above|below|shy of|short of)
    (?:a (?:bit|little|hair|touch|tad) )?(?:more|less) than
    say
    maybe
    probably
    at (?:least|most)
    up to
    no (?:more|less) than
    not quite
    close to
    near
    in the neighborhood of
    ballpark
    more or less
    give or take
    approx[a-z]*
    c
    ca
    circa
    env
    environ
    presque
    quasi(?:ment)?
    (?:un peu )?(?:plus|moins) de
    plus ou moins
    vers
    a peu pres
    autour de
    aux environs de
    aux alentours de
    pres de
    proche de
    au (?:moins|plus)
    a peine
    dans les
    jusqu'a
    max(?:i|imum)?
    min(?:i|imum)?
    aprox[a-z]*
    casi
    como
    un[oa]s
    (?:un poco )?(?:mas|menos) de
    mas o menos
    cerca de
    alrededor de
    (?:al|por lo) menos
    a lo (?:mas|menos|sumo)
    hasta
    sobre
    a unos
    por ahi de
    apenas
    quizas?
    maximo
    minimo
"""
_AFTER: Final = r"""
    ish
    approx[a-z]*
    circa
    or so
    or (?:more|less)
    more or less
    give or take
    or there\s?abouts
    plus ou moins
    ou (?:plus|moins)
    environ
    env
    a peu pres
    a l'oeil
    a l'œil
    et quelques
    et des poussieres
    aprox[a-z]*
    mas o menos
    o (?:mas|menos)
    a ojo
    y tantos
    y pico
    max(?:i|imum|imo)?
    min(?:i|imum|imo)
    eyeballed
    guess(?:ed)?
    estimated?
    estime
    estimado
"""
_APPROXIMATE: Final = re.compile(
    rf"""^[\s(]*(?:[~≈≃≅∼<>≤≥]|(?:{_any_of(_BEFORE)})(?![a-z])[\s.:]*[-\d½.,])
    |[0-9]\s*(?:\+\s*$|-?ish\b)
    |(?<![a-z])(?:{_any_of(_AFTER)})[\s.)]*$
    |[+?~][\s)]*$""",
    re.VERBOSE,
)
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
_MARKS: Final = re.compile(r"[✓xX/\\\"'\-–=.:;,*\s\u00a0]+")


def why_no_value(text: str) -> Phrase | None:
    """Why a clean entry is a note and no value; None if it may be a value."""
    spelled = plain(text)
    if any("0" <= character <= "9" for character in text):
        return phrase("approximate") if _APPROXIMATE.search(spelled) else None
    if _MARKS.fullmatch(text) or _WORDS.intersection(re.findall(r"[a-z]+", spelled)):
        return phrase("note-only")
    return None
