"""Flags in words, from what they are about, and how they were closed."""

from collections.abc import Callable, Mapping
from typing import Any, Final

import msgspec
from django.utils.translation import gettext_noop as _

from prep.record.phrases import phrase_of
from prep.record.unit.flag_facts import Closing, FlagFacts, Origin
from prep.record.unit.state import Flag
from prep.words import dates, verdicts
from prep.words.lists import all_of
from prep.words.reader import Reader, say
from prep.words.rules import refusals as rule_refusals
from prep.words.unit.limits import limit_text
from prep.words.unit.remarks import remark_texts

BOX: Final = _("{ask} ({position})")
READING: Final = _("{box}: {typed} is {verdict}. The limit is {limit}.")
GUARD_BAND: Final = _("{box}: {typed} is too close to the limit for this tool. Limit: {limit}.")
INSTRUMENT: Final = _("{box}: {instrument} was due for calibration on {date}.")
UNMEASURED: Final = _("{box} was not measured: “{reason}”")
SETTING: Final = _(
    "{box}: the tool was set to {typed}. The limit is {limit}. Set it right and go over them again."
)
MOVED: Final = _("{box}: {moved} of {checked} moved. Go over them again until none moves.")
LEFT_OUT: Final = _("{box}: {checked} of {fasteners} were gone over. Go over the others too.")
CHECK: Final = _("Answered no: “{box}”.")
CHECK_NOTED: Final = _("Answered no: “{box}”. {note}")
PAPERS: Final = _("The plate says {serial}, the papers say {papers}.")
SERIAL_SCHEME: Final = _("Serial {serial} does not look like one of this model. {reason}")
LOOKED_UP: Final = _(
    "The plate was misread when work began. Look up bulletins, parts and manual again for {serial}."
)
DAMAGE: Final = _("{what}, {where}.")
DAMAGE_UNNOTED: Final = _("{what}, {where}. Not noted on the bill of lading.")
COUNTED: Final = _("{where} ({count})")

DIFFERS: Final = _("{box}: {why}. Take it again, or have a service manager accept it.")
DIFFERS_TOO: Final = _("{flag} Also: {why}.")

CLOSINGS: Final[dict[Closing, str]] = {
    Closing.FIXED: _("fixed"),
    Closing.CONFORMING_ENTRY: _("in limit when entered again"),
    Closing.SUPERSEDED: _("replaced by a later entry"),
    Closing.CONCESSION: _("accepted by concession"),
    Closing.MODEL_CORRECTED: _("the model was corrected"),
    Closing.PLATE_CORRECTED: _("the plate had been misread"),
}


def flag_text(about: FlagFacts, reader: Reader) -> str:
    """What is wrong, as one or two sentences."""
    text = _TEXTS[Origin(about.origin)](about, reader)
    if not about.differs or about.origin == Origin.MOMENTS:
        return text
    return say(reader, DIFFERS_TOO, flag=text, why=_why(about, reader))


def kept_flag_text(about: Mapping[str, Any], reader: Reader) -> str:
    """The same of a flag's facts as an index row keeps them."""
    return flag_text(msgspec.convert(about, FlagFacts), reader)


def closing_word(flag: Flag, reader: Reader) -> str:
    """How a flag was closed; empty while it is open."""
    return say(reader, CLOSINGS[flag.closed_how]) if flag.closed_how else ""


def closing_text(flag: Flag, reader: Reader) -> str:
    """How a flag was closed: as typed by whoever fixed it, else in our words."""
    return flag.closing_text or closing_word(flag, reader)


def _box(about: FlagFacts, reader: Reader) -> str:
    if not about.position:
        return about.ask
    return say(reader, BOX, ask=about.ask, position=about.position)


def _limit(about: FlagFacts, reader: Reader) -> str:
    return limit_text(about.limit, reader) if about.limit else ""


def _reading(about: FlagFacts, reader: Reader) -> str:
    return say(
        reader,
        READING,
        box=_box(about, reader),
        typed=about.typed,
        verdict=verdicts.word(about.verdict, reader),
        limit=_limit(about, reader),
    )


def _setting(about: FlagFacts, reader: Reader) -> str:
    box, limit = _box(about, reader), _limit(about, reader)
    return say(reader, SETTING, box=box, typed=about.typed, limit=limit)


def _moved(about: FlagFacts, reader: Reader) -> str:
    return say(reader, MOVED, box=_box(about, reader), moved=about.moved, checked=about.checked)


def _left_out(about: FlagFacts, reader: Reader) -> str:
    box, counts = _box(about, reader), {"checked": about.checked, "fasteners": about.fasteners}
    return say(reader, LEFT_OUT, box=box, **counts)


def _guard_band(about: FlagFacts, reader: Reader) -> str:
    box, limit = _box(about, reader), _limit(about, reader)
    return say(reader, GUARD_BAND, box=box, typed=about.typed, limit=limit)


def _instrument(about: FlagFacts, reader: Reader) -> str:
    box, date = _box(about, reader), dates.short_day(about.due, reader)
    return say(reader, INSTRUMENT, box=box, instrument=about.instrument, date=date)


def _check(about: FlagFacts, reader: Reader) -> str:
    sentence = CHECK_NOTED if about.text else CHECK
    return say(reader, sentence, box=_box(about, reader), note=about.text)


def _unmeasured(about: FlagFacts, reader: Reader) -> str:
    return say(reader, UNMEASURED, box=_box(about, reader), reason=about.text)


def _papers(about: FlagFacts, reader: Reader) -> str:
    return say(reader, PAPERS, serial=about.serial, papers=about.papers)


def _serial_scheme(about: FlagFacts, reader: Reader) -> str:
    assert about.phrase is not None
    reason = rule_refusals.sentence("serial", phrase_of(about.phrase), reader)
    return say(reader, SERIAL_SCHEME, serial=about.serial, reason=reason)


def _looked_up(about: FlagFacts, reader: Reader) -> str:
    return say(reader, LOOKED_UP, serial=about.serial)


def _damage(about: FlagFacts, reader: Reader) -> str:
    damage = about.damage
    assert damage is not None
    where = damage.where
    if damage.count != 1:
        where = say(reader, COUNTED, where=where, count=damage.count)
    sentence = DAMAGE if damage.on_carrier_paper else DAMAGE_UNNOTED
    return say(reader, sentence, what=damage.what, where=where)


def _differs(about: FlagFacts, reader: Reader) -> str:
    return say(reader, DIFFERS, box=_box(about, reader), why=_why(about, reader))


def _why(about: FlagFacts, reader: Reader) -> str:
    return all_of(remark_texts(about.differs, reader), reader)


_TEXTS: Final[dict[Origin, Callable[[FlagFacts, Reader], str]]] = {
    Origin.READING: _reading,
    Origin.SETTING: _setting,
    Origin.MOVED: _moved,
    Origin.LEFT_OUT: _left_out,
    Origin.GUARD_BAND: _guard_band,
    Origin.INSTRUMENT: _instrument,
    Origin.CHECK: _check,
    Origin.PAPERS: _papers,
    Origin.SERIAL_SCHEME: _serial_scheme,
    Origin.LOOKED_UP: _looked_up,
    Origin.DAMAGE: _damage,
    Origin.MOMENTS: _differs,
    Origin.UNMEASURED: _unmeasured,
    Origin.PERSON: lambda about, reader: about.text,
}
