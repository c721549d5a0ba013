"""Endpoints of the words that people sign or acknowledge."""

import msgspec

from api.operations import View, reads
from prep.queries.log import wording_of
from prep.queries.readers import reader_of
from prep.record.token.scopes import READ
from prep.words.commands import COMMANDS, statement


class ShownStatement(msgspec.Struct, frozen=True, kw_only=True):
    """What a person declares by giving a command; show it before the command is sent."""

    command: str
    text: str


class Statements(msgspec.Struct, frozen=True, kw_only=True):
    """The statement of every command that is signed or acknowledged."""

    language: str
    items: list[ShownStatement]


class ShownWording(msgspec.Struct, frozen=True, kw_only=True):
    """The words that events with this digest refer to; `digest` is the SHA-256 of `text`."""

    digest: str
    command: str
    language: str
    text: str


class StatementsView(View):
    """What people declare by signing."""

    tag = "people"
    reading = READ

    @reads
    def get(self) -> Statements:
        """See what a person declares by each signature.

        In the language of your account. A signature keeps the digest of these words, so show them
        before you send it.
        """
        reader = reader_of(self.person)
        return Statements(
            language=reader.language,
            items=[
                ShownStatement(command=tag, text=statement(tag, reader))
                for tag, words in COMMANDS.items()
                if words.statement
            ],
        )


class WordingView(View):
    """The words of one signature."""

    tag = "people"
    reading = READ

    @reads
    def get(self, digest: str) -> ShownWording:
        """See the words that a signature or an acknowledgment refers to by digest."""
        kept = wording_of(digest)
        return ShownWording(
            digest=digest, command=kept.command, language=kept.language, text=kept.text
        )
