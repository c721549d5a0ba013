"""Audit findings in words."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.record.unit.views.audit_findings import Finding
from prep.words.reader import Reader, say
from prep.words.unit.flags import flag_text
from prep.words.unit.signatures import meaning

SIGNED: Final = _("signed: {meaning}")
ACCEPTED: Final = _("{flag} Reason: {reason}")


def finding_text(finding: Finding, reader: Reader) -> str:
    """What an auditor is to look at."""
    if finding.meaning:
        return say(reader, SIGNED, meaning=meaning(finding.meaning, reader))
    if finding.about is None:
        return finding.text
    flag = flag_text(finding.about, reader)
    return say(reader, ACCEPTED, flag=flag, reason=finding.text) if finding.text else flag
