"""Problems of rows and notices of files, said to whoever sent the file."""

from collections.abc import Mapping
from typing import Any, Final

from django.utils.translation import gettext_noop as _

from prep.record.refusal import Refusal
from prep.words.faults import named_fault_text
from prep.words.reader import Reader, say
from prep.words.refusals import refusal_text

NOTICES: Final = {
    "csv": _("Read as {encoding} with the separator {separator}."),
    "sheet": _("Read from the sheet “{sheet}”, the first one in sight; the file has {sheets}."),
    "new-data": _("No model has these values yet: {names}. Check how they are spelled."),
}


def problem_text(refusal: Refusal, header: str, reader: Reader) -> str:
    """What is wrong with a row or a cell, and what to do; a field is called as in the file."""
    if refusal.code == "input-unfit" and header:
        (fault,) = refusal.details["faults"]
        return named_fault_text(fault, header, reader)
    return refusal_text(refusal, reader)


def notice_text(code: str, values: Mapping[str, Any], reader: Reader) -> str:
    """What to know of how a file was read."""
    return say(reader, NOTICES[code], **values)
