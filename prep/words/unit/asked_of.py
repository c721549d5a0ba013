"""Of which units a line is asked, in words."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.record.procedure.line import Line
from prep.words.reader import Reader, say

ASKED_OF: Final[dict[str, str]] = {
    "every-unit": "",
    "first-of-shipment": _("first unit of a shipment only"),
    "suspected-fault": _("on a suspected fault only"),
}


def asked_of(line: Line, reader: Reader) -> str:
    """Of which units a line is asked; empty where it is every one."""
    text = ASKED_OF[line.asked_of]
    return say(reader, text) if text else ""
