"""Statements of certificates, found and written without the code that writes them."""

import re

# As README of the format has it: marks, and 1,024 bytes between them.
STATEMENT = re.compile(rb"<yardproof-statement>\n(.{1024})</yardproof-statement>\n", re.DOTALL)


def statement_of(pdf: bytes) -> str:
    """The note in a certificate, without what fills its place."""
    return place(pdf).group(1).rstrip(b"\n").decode() + "\n"


def place(pdf: bytes) -> re.Match[bytes]:
    """Where the one statement of a certificate stands."""
    [found] = STATEMENT.finditer(pdf)
    return found


def blank(pdf: bytes, filler: bytes = b"\n") -> bytes:
    """A certificate whose statement is not written yet."""
    start, stop = place(pdf).span(1)
    return pdf[:start] + filler * (stop - start) + pdf[stop:]
