"""Checkpoints found again in whatever they were kept in: a file, a mail, a forwarded mail.

Mail programs wrap long lines, put marks of quotation before them, turn text into HTML and dashes
into other dashes. A signed checkpoint survives all that: each of its parts is told by its form, so
it is put together from them, and the signature says whether that was right.
"""

import re
from collections.abc import Iterable, Iterator
from email import message_from_bytes, policy
from email.message import EmailMessage, Message
from html.parser import HTMLParser
from typing import Final

from prep.record.log.signed_notes import PREVIOUS, NoteError, parse_checkpoint, signers

QUOTED: Final = re.compile(r"^[ \t]*(?:[>|][ \t]*)+", re.MULTILINE)
# Characters that mail programs put into long words, and the space that does not break.
UNSEEN: Final = str.maketrans({"\u200b": "", "\u00ad": "", "\ufeff": "", "\u00a0": " "})
MAIL_IN_A_BOX: Final = re.compile(rb"^From .*\n", re.MULTILINE)  # mbox, RFC 4155
# Origin, size, root of 32 bytes, the size before, name, and 68 bytes of key id and signature. Only
# white space may stand between their characters, and only at the start of a word is one begun, so
# that the search takes a time in proportion to the text.
CHECKPOINT: Final = re.compile(
    r"""(?<!\S)(?P<origin>\S+)\s+
    (?P<size>\d{1,18})\s+
    (?P<root>(?:[A-Za-z0-9+/]\s*){43}=)\s+
    (?:previous\s+(?P<previous>\d{1,18})\s+)?
    (?:[\u2010-\u2015-]+|&mdash;)\s*
    (?P<name>[^\s+]+)\s+
    (?P<signature>(?:[A-Za-z0-9+/]\s*){91}=)""",
    re.VERBOSE,
)


def checkpoints_in(content: bytes) -> list[str]:
    """Signed notes of all checkpoints in a file, in order, each once.

    The file may be a note, a text that holds some, a mail, a mail with others inside, or a box of
    mails. The signatures are not checked.
    """
    notes = (note for text in _texts(content) for note in _notes(text))
    return list(dict.fromkeys(notes))


def _notes(text: str) -> Iterator[str]:
    lines = text.replace("\r\n", "\n").replace("\r", "\n").translate(UNSEEN)
    for match in CHECKPOINT.finditer(QUOTED.sub("", lines)):
        part = {name: re.sub(r"\s", "", held or "") for name, held in match.groupdict().items()}
        previous = f"{PREVIOUS}{part['previous']}\n" if part["previous"] else ""
        signed = f"{part['origin']}\n{part['size']}\n{part['root']}\n{previous}"
        note = f"{signed}\n\u2014 {part['name']} {part['signature']}\n"
        if _is_checkpoint(signed, note):
            yield note


def _is_checkpoint(signed: str, note: str) -> bool:
    try:
        parse_checkpoint(signed)
        return bool(signers(note))
    except NoteError:
        return False


def _texts(content: bytes) -> Iterator[str]:
    """The text itself, and what a mail says in its parts."""
    yield _decoded(content)
    for one in MAIL_IN_A_BOX.split(content):
        if one:
            yield from _parts(message_from_bytes(one, policy=policy.default).walk())


def _parts(parts: Iterable[Message]) -> Iterator[str]:
    for part in parts:
        if isinstance(part, EmailMessage) and not part.is_multipart():
            held = part.get_payload(decode=True)
            text = _decoded(held, part.get_content_charset()) if isinstance(held, bytes) else ""
            yield _shown(text) if part.get_content_subtype() == "html" else text


def _decoded(content: bytes, charset: str | None = None) -> str:
    """A text in its character set; what cannot be read in it is no checkpoint anyway."""
    try:
        return content.decode(charset or "utf-8", "replace")
    except LookupError:  # a character set that nobody knows
        return content.decode("utf-8", "replace")


class _Shown(HTMLParser):
    """What an HTML page says, in pieces.

    A line ends where a line or a block of the page does; a mark inside a word ends nothing.
    """

    def __init__(self) -> None:
        super().__init__()
        self.pieces: list[str] = []

    def handle_data(self, data: str) -> None:
        """Text, its entities resolved."""
        self.pieces.append(data)

    def handle_starttag(self, tag: str, attrs: object) -> None:
        """The start of an element."""
        if tag in {"br", "p", "div", "tr", "td", "li", "pre", "blockquote"}:
            self.pieces.append("\n")


def _shown(page: str) -> str:
    parser = _Shown()
    parser.feed(page)
    parser.close()
    return "".join(parser.pieces)
