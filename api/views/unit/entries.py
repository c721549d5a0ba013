"""Endpoints of a sheet's entries: readings, checks, photos and pages filled in by hand."""

from typing import Annotated, Any
from uuid import UUID

import msgspec
from rest_framework.parsers import MultiPartParser

from api.inputs import Body, Code, CommandBody, Long, Moment, Query, Short, given
from api.media_types import PictureBody
from api.operations import View, commands, commands_with_picture
from prep.actions.unit import entries, handwritten
from prep.actions.unit.handwritten import OnPaper
from prep.actions.write_path import Command, Outcome

Typed = Annotated[
    str, msgspec.Meta(max_length=400, description="Exactly as typed, unit and all: “13 7/8 in”.")
]


class PaperBody(Body, frozen=True, kw_only=True):
    """Source of an entry copied from a page: its photo, attached before, its writer, and the time.

    The entry counts as made by the writer at `written`; whoever sends it is recorded as who copied
    it.
    """

    photo: UUID
    writer: Annotated[str, msgspec.Meta(min_length=1, max_length=150, description="User name.")]
    written: Moment


class Answer(CommandBody, frozen=True, kw_only=True):
    """The box an answer belongs to, and the entry it corrects, if any.

    To correct an entry, name it in `supersedes` and say why in `reason`; it stays in the record.
    """

    step: Code
    line: Code
    position: Short = ""
    supersedes: Short = ""
    reason: Long = ""
    paper: PaperBody | None = None


class ReadingBody(Answer, frozen=True, kw_only=True):
    """A value as typed, or one of the line's choices."""

    text: Typed
    instrument: Annotated[str, msgspec.Meta(max_length=40, description="Code on its label.")] = ""


class CheckBody(Answer, frozen=True, kw_only=True):
    """Yes or no."""

    answer: bool
    note: Long = ""


class PaperQuery(Query, frozen=True, kw_only=True):
    """The mark printed on the page, a note, and when it happened."""

    mark: Annotated[str, msgspec.Meta(max_length=20, description="Printed on a blank sheet.")] = ""
    note: Long = ""
    happened: Moment | None = None


class PhotoQuery(Query, frozen=True, kw_only=True):
    """The box a photo belongs to, a note, and when it happened."""

    step: Code
    line: Code
    position: Short = ""
    note: Long = ""
    happened: Moment | None = None


class ReadingsView(View):
    """Readings of a unit."""

    tag = "entries"

    @commands(if_match="optional")
    def post(self, unit: UUID, command: Command, body: ReadingBody) -> Outcome:
        """Take a reading.

        The text is kept as typed, converted exactly, and judged against the limit with the
        instrument's uncertainty. A nonconforming reading raises a flag and is returned with
        advice; a conforming one closes the flag of its box. An ambiguous text is refused with
        `choices`, each of which can be sent as `text`.
        """
        return entries.take(actor=self.person, command=command, unit=unit, **_arguments(body))


class ChecksView(View):
    """Answers to the yes/no checks of a unit."""

    tag = "entries"

    @commands(if_match="optional")
    def post(self, unit: UUID, command: Command, body: CheckBody) -> Outcome:
        """Answer a check.

        A no raises a flag; a later yes in the same box closes it.
        """
        return entries.complete_check(
            actor=self.person, command=command, unit=unit, **_arguments(body)
        )


class PhotosView(View):
    """Photos of a unit."""

    tag = "entries"
    parser_classes = (PictureBody, MultiPartParser)

    @commands_with_picture
    def post(self, unit: UUID, command: Command, query: PhotoQuery, content: bytes) -> Outcome:
        """Attach a photo to a line.

        Send the JPEG, PNG or WebP as the body, or as the part `photo` of a multipart form; where
        it belongs is in the address.
        """
        return entries.attach_photo(
            actor=self.person, command=command, unit=unit, content=content, **given(query)
        )


class PaperSheetsView(View):
    """Photos of pages filled in by hand."""

    tag = "entries"
    parser_classes = (PictureBody, MultiPartParser)

    @commands_with_picture
    def post(self, unit: UUID, command: Command, query: PaperQuery, content: bytes) -> Outcome:
        """Attach a picture of a page filled in by hand.

        Send the JPEG, PNG or WebP as the body, or as the part `photo` of a multipart form. Entries
        name it in `paper.photo`; a page of another revision is refused by its `mark`.
        """
        return handwritten.attach(
            actor=self.person, command=command, unit=unit, content=content, **given(query)
        )


def _arguments(body: Answer) -> dict[str, Any]:
    """Arguments of the action from an answer's body, with the source of a copied entry."""
    source = body.paper
    return {
        **given(body),
        "paper": OnPaper(source.photo, source.writer, source.written) if source else None,
    }
