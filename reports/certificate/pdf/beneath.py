"""What stands beneath a reading: remarks, its concession, and each entry it replaced."""

from collections.abc import Iterator
from typing import Final

from prep.rules.conformity.judgment import CheckAnswer
from prep.words import verdicts
from prep.words.dates import short_moment
from prep.words.reader import Reader, say
from reports.certificate.facts import Answer, BoxFacts, ConcessionFacts
from reports.certificate.pdf.rows import short
from reports.certificate.pdf.wording import name_and_moment, signature
from reports.pdf.typeface import plain

CHECKED: Final = frozenset(CheckAnswer)


def beneath(box: BoxFacts, above: BoxFacts | None, reader: Reader) -> Iterator[str]:
    """Markup of the rows under an answer: the suspicion, remarks, concession, earlier entries."""
    if box.suspected:
        yield say(reader, "suspected: {suspicion}", suspicion=plain(box.suspected))
    if box.current:
        yield from map(plain, _remarks(box.current, above, reader))
    if box.concession:
        yield _concession(box.concession, reader)
    # An entry says why it replaced the one before it; re-opening a step needs no entry.
    later = [answer.reason for answer in (box.current, *box.earlier) if answer]
    reasons = later if box.current else ["", *later]
    for earlier, why in zip(box.earlier, reasons, strict=False):
        yield _earlier(earlier, why, reader)


def _remarks(answer: Answer, above: BoxFacts | None, reader: Reader) -> Iterator[str]:
    for remark in answer.remarks:
        yield f"“{remark}”" if answer.verdict in CHECKED else remark
    rule = _limit_rule(answer)
    if rule and not (above and above.current and _limit_rule(above.current) == rule):
        yield say(reader, "limit computed by: {rule}", rule=rule)
    if answer.copied:
        yield say(
            reader,
            "copied from paper: written by {writer} on {written}; copied by {copier} on {copied}",
            writer=answer.by.name,
            written=short_moment(answer.by.at, reader),
            copier=answer.copied.name,
            copied=short_moment(answer.copied.at, reader),
        )


def _limit_rule(answer: Answer) -> str:
    """Title of the rule a limit was computed by."""
    return answer.limit.computed.title if answer.limit and answer.limit.computed else ""


def _concession(one: ConcessionFacts, reader: Reader) -> str:
    return say(
        reader,
        "△ Accepted out-of-limit (concession): {reason} ({signature})",
        reason=plain(one.reason),
        signature=plain(signature(one.granted, reader)),
    )


def _earlier(answer: Answer, why: str, reader: Reader) -> str:
    """Markup of an entry that no longer stands: struck through, who made it, why it went."""
    details = [
        f"<strike>{short(answer.setting.stated if answer.setting else answer.typed)}</strike>",
        f"{verdicts.mark(answer.verdict)} {short(verdicts.word(answer.verdict, reader))}",
        short(name_and_moment(answer.by, reader)),
    ]
    if answer.limit:
        details.insert(2, say(reader, "limit {limit}", limit=short(answer.limit.stated)))
    if answer.instrument:
        details.insert(1, short(answer.instrument.code))
    return say(
        reader,
        "earlier: {entry}. Replaced because: {reason}",
        entry=", ".join(details),
        reason=short(why) if why else say(reader, "the step was reopened"),
    )
