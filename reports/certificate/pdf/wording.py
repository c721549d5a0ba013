"""Signatures and decision rules of a certificate in words."""

from prep.words.dates import short_moment
from prep.words.reader import Reader, say
from prep.words.unit.signatures import signature_line, with_named
from reports.certificate.facts import LimitFacts, Signed


def signature(signed: Signed, reader: Reader) -> str:
    """`prepared by Ada, 25 Nov 2026, 14:05`."""
    moment = short_moment(signed.at, reader)
    return signature_line(signed.meaning, name_of(signed, reader), moment, reader)


def name_and_moment(signed: Signed, reader: Reader) -> str:
    """`Ada, 25 Nov 2026, 14:05`."""
    return f"{name_of(signed, reader)}, {short_moment(signed.at, reader)}"


def name_of(signed: Signed, reader: Reader) -> str:
    """`Ada`, or `Ada, named Ben` where a device named Ben and he has not signed."""
    return with_named(signed.name, signed.named, reader)


def decision_text(limit: LimitFacts, reader: Reader) -> str:
    """The rule by which uncertainty was weighed, where it was."""
    if limit.decision != "guarded":
        return ""
    return say(reader, "guard band {factor} U", factor=limit.guard)
