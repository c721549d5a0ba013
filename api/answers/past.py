"""A view of the past as the API describes it."""

from datetime import datetime

import msgspec

from prep.record.unit.views.past import LeftOut, Past, Reference, View


class ShownLeftOut(msgspec.Struct, frozen=True, kw_only=True):
    """An event that refers to something that happened later than the moment.

    One left out as a `whole` does not count; another counts without the reference.
    """

    version: int
    kind: str
    reference: Reference
    whole: bool


class ShownPast(msgspec.Struct, frozen=True, kw_only=True):
    """Which view of the past it is.

    `known-at` is what the record said at the moment: what was recorded later is missing.
    `happened-by` is what had happened by the moment, by all that is known now; an event that refers
    to something that happened later is in `left_out`.
    """

    view: View
    moment: datetime
    left_out: list[ShownLeftOut]


def shown_past(past: Past) -> ShownPast:
    """A view of the past, without its record."""
    left_out = [_left_out(one) for one in past.left_out]
    return ShownPast(view=past.view, moment=past.moment, left_out=left_out)


def _left_out(one: LeftOut) -> ShownLeftOut:
    return ShownLeftOut(
        version=one.version, kind=one.kind, reference=one.reference, whole=one.whole
    )
