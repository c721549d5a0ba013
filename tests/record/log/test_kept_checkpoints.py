"""Checkpoints are found again in files and mails, as people keep and send them."""

import time
from email.message import EmailMessage
from email.policy import SMTP

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from hypothesis import given
from hypothesis import strategies as st

from prep.record.log.kept_checkpoints import checkpoints_in
from prep.record.log.merkle_tree import leaf_hash
from prep.record.log.signed_notes import (
    Checkpoint,
    format_checkpoint,
    sign_note,
    verifier_key,
    verify_note,
)

NAME = "yard.example/log"
PRIVATE = Ed25519PrivateKey.from_private_bytes(bytes(range(32)))
KEY = verifier_key(NAME, PRIVATE)


def signed(size: int, previous: int | None = None) -> str:
    """A checkpoint of an invented log."""
    text = format_checkpoint(Checkpoint(NAME, size, leaf_hash(str(size).encode()), previous))
    return sign_note(text, NAME, PRIVATE)


FIRST, SECOND = signed(7), signed(4711, 7)


def mail(text: str, kind: str = "plain") -> EmailMessage:
    """A mail somebody sends."""
    made = EmailMessage()
    made["Subject"], made["From"], made["To"] = "Checkpoint", "a@yard.example", "b@kept.example"
    made.set_content(text, subtype=kind)
    return made


def wrapped(text: str, width: int = 72, mark: str = "") -> str:
    """Lines broken where they are too long, each after a mark of quotation."""
    broken = []
    for line in text.split("\n"):
        broken += [line[at : at + width] for at in range(0, len(line), width)] or [""]
    return "\n".join(mark + line for line in broken)


@pytest.mark.parametrize("note", [FIRST, SECOND])
@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
def test_a_note_is_found_in_its_own_file(note: str, line_end: str) -> None:
    """Byte for byte, whatever ended the lines; and with words before and after."""
    assert checkpoints_in(note.replace("\n", line_end).encode()) == [note]
    assert checkpoints_in(f"Kept on paper:\n\n{note}\nSo far.".encode()) == [note]
    assert verify_note(note, [KEY])


@pytest.mark.parametrize("mark", ["", "> ", ">", ">> ", "> > > ", "| ", "    "])
@pytest.mark.parametrize("width", [60, 72, 76, 998])
def test_quoted_and_wrapped_it_is_the_same_note(mark: str, width: int) -> None:
    """A mail program broke the long lines and put marks before them, more than once."""
    text = f"On Monday somebody wrote:\n{wrapped(FIRST, width, mark)}\n\n-- \nKind regards"
    assert checkpoints_in(text.encode()) == [FIRST]
    assert checkpoints_in(mail(text).as_bytes(policy=SMTP)) == [FIRST]


@pytest.mark.parametrize("dash", ["—", "–", "-", "--", "―"])
def test_another_dash_is_the_same_dash(dash: str) -> None:
    """Some programs write two hyphens for it."""
    assert checkpoints_in(FIRST.replace("—", dash).encode()) == [FIRST]


@pytest.mark.parametrize("encoding", ["quoted-printable", "base64", "8bit"])
def test_a_mail_is_decoded(encoding: str) -> None:
    """Whatever way its letters travel."""
    made = EmailMessage()
    made["Subject"] = "Checkpoint"
    made.set_content(f"Keep this:\n\n{SECOND}\n", cte=encoding)
    assert checkpoints_in(made.as_bytes(policy=SMTP)) == [SECOND]


def test_a_page_of_a_mail_is_read_as_it_is_shown() -> None:
    """Only HTML was forwarded: tags, entities, marks within a word."""
    above, _, below = FIRST.partition("\n\n")
    shown = above.replace("\n", "<br>") + "<br><br>" + below.replace("—", "&mdash;")
    middle = len(shown) - 20
    page = f"<html><body><blockquote>{shown[:middle]}<wbr>{shown[middle:]}</blockquote></body>"
    assert checkpoints_in(mail(page, "html").as_bytes()) == [FIRST]


def test_forwarded_as_an_attachment_and_attached_as_a_file() -> None:
    """A mail in a mail in a mail, with another checkpoint as a file; each is found once."""
    inner = mail(f"Today's:\n{FIRST}")
    inner.add_attachment(SECOND.encode(), maintype="application", subtype="octet-stream")
    for _ in range(2):
        outer = mail("See below")
        outer.add_attachment(inner)
        inner = outer
    assert checkpoints_in(inner.as_bytes(policy=SMTP)) == [FIRST, SECOND]


def test_a_box_of_mails_gives_all_of_them() -> None:
    """As a mail program exports a folder (mbox, RFC 4155)."""
    box = b"".join(
        b"From a@yard.example Mon Mar  2 08:15:00 2026\n" + mail(note).as_bytes() + b"\n"
        for note in (FIRST, SECOND, FIRST)
    )
    assert checkpoints_in(box) == [FIRST, SECOND]


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"No checkpoint here.",
        FIRST.split("\n\n")[0].encode(),
        FIRST[:-10].encode(),
        FIRST.replace("\n7\n", "\nseven\n").encode(),
        SECOND.replace("previous 7", "previous 4711").encode(),
        b"\xff\xfe\x00",
        b"Content-Type: text/plain; charset=no-such\n\nhello",
        b"Content-Type: multipart/mixed; boundary=x\n\n--x\n\n--x\n",
    ],
)
def test_what_holds_none_gives_none(content: bytes) -> None:
    """Cut short, without a signature, or something else altogether."""
    assert checkpoints_in(content) == []


@given(st.binary(max_size=400))
def test_no_bytes_stop_it(content: bytes) -> None:
    """Alone, and around a checkpoint."""
    checkpoints_in(content)
    checkpoints_in(content + FIRST.encode() + content)


@pytest.mark.parametrize("piece", ["a", "1 ", "a\n1\n", "A" * 44 + " ", "> ", "- ", "<", "&"])
def test_its_time_grows_with_the_text_and_not_faster(piece: str) -> None:
    """Texts made to be slow: a megabyte in seconds, where squares would be hours."""
    begun = time.process_time()
    checkpoints_in((piece * 1_000_000)[:1_000_000].encode())
    assert time.process_time() - begun < 10
