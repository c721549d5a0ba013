"""Of which units a line is asked, in words."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.record.procedure.line import Line
from prep.record.unit.sheet import asked_of_unit
from prep.record.unit.state import Record
from prep.words.reader import Reader, say

ASKED_OF: Final[dict[str, tuple[str, str]]] = {
    "every-unit": ("", ""),
    "first-of-shipment": (
        _("first unit of a shipment only: this is the first"),
        _("first unit of a shipment only: this is not the first, so it may stay empty"),
    ),
    "suspected-fault": (_("on a suspected fault only"), _("on a suspected fault only")),
}


def asked_of(record: Record, line: Line, reader: Reader) -> str:
    """Of which units a line is asked, and whether of this one; empty where it is every one."""
    asked, not_asked = ASKED_OF[line.asked_of]
    text = asked if asked_of_unit(record, line) else not_asked
    return say(reader, text) if text else ""
