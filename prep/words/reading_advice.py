"""Advice on a reading of the record."""

from prep.record.unit.views.advice import Advised
from prep.words.reader import Reader
from prep.words.refusals import refusal_text
from prep.words.rules.advice import text


def advised(given: Advised, reader: Reader) -> str:
    """Advice on a reading of the record, or why none can be computed."""
    if given.refused:
        return refusal_text(given.refused, reader)
    return " ".join(text(one, reader, given.typed_units) for one in given.advice)
