"""Readings, checks and photos: the answers in a sheet's boxes."""

from typing import Annotated
from uuid import UUID

import msgspec
from rest_framework.parsers import MultiPartParser

from api.bodies import Code, CommandBody, Long, Moment, Query, Short, given
from api.media import PictureBody
from api.operations import View, commands, commands_with_picture
from prep.actions import readings
from prep.actions.writing import Command, Outcome

Typed = Annotated[
    str, msgspec.Meta(max_length=400, description="Exactly as typed, unit and all: “13 7/8 in”.")
]


class Answer(CommandBody, frozen=True, kw_only=True):
    """Where the answer belongs, and which entry it corrects, if any.

    To correct an entry, name it in `supersedes` and say why in `reason`; it stays in the record.
    """

    step: Code
    line: Code
    position: Short = ""
    supersedes: Short = ""
    reason: Long = ""
    copied_from_paper: bool = False


class ReadingBody(Answer, frozen=True, kw_only=True):
    """A value as typed, or one of the line's choices."""

    text: Typed
    instrument: Annotated[str, msgspec.Meta(max_length=40, description="Code on its label.")] = ""


class CheckBody(Answer, frozen=True, kw_only=True):
    """Yes or no."""

    answer: bool
    note: Long = ""


class PhotoQuery(Query, frozen=True, kw_only=True):
    """Where the picture belongs."""

    step: Code
    line: Code
    position: Short = ""
    note: Long = ""
    happened: Moment | None = None


class ReadingsView(View):
    """Values typed."""

    tag = "entries"

    @commands(if_match="optional")
    def post(self, unit: UUID, command: Command, body: ReadingBody) -> Outcome:
        """Take a reading.

        The text is kept as typed, converted exactly, and held against the limit with the
        instrument's uncertainty. A reading that does not conform raises a flag and comes back
        with what to do about it; one that does closes the flag of its box. An entry that can mean
        two things is refused with `choices`, each of which can be sent as `text`.
        """
        return readings.take(actor=self.person, command=command, unit=unit, **given(body))


class ChecksView(View):
    """Checks answered."""

    tag = "entries"

    @commands(if_match="optional")
    def post(self, unit: UUID, command: Command, body: CheckBody) -> Outcome:
        """Answer a check.

        A no raises a flag; a later yes in the same box closes it.
        """
        return readings.complete_check(actor=self.person, command=command, unit=unit, **given(body))


class PhotosView(View):
    """Pictures attached."""

    tag = "entries"
    parser_classes = (PictureBody, MultiPartParser)

    @commands_with_picture
    def post(self, unit: UUID, command: Command, query: PhotoQuery, content: bytes) -> Outcome:
        """Attach a photo to a line.

        Send the JPEG, PNG or WebP as the body, or as the part `photo` of a multipart form; where
        it belongs is in the address.
        """
        return readings.attach_photo(
            actor=self.person, command=command, unit=unit, content=content, **given(query)
        )
