"""Remarks on an entry, as events keep them."""

from collections.abc import Iterable

import msgspec

from prep.record.moments import Differs


class Late(msgspec.Struct, frozen=True, tag_field="remark", tag="late"):
    """An entry was recorded so many minutes after it happened."""

    minutes: int


class SameAs(msgspec.Struct, frozen=True, tag_field="remark", tag="same-as"):
    """A value was typed the same as the one at another position, so many seconds apart."""

    position: str
    seconds: int


class Contradicts(msgspec.Struct, frozen=True, tag_field="remark", tag="contradicts"):
    """A value differs from what others imply, in the unit typed; the person stood by it."""

    expected: str
    unit: str


Remark = Late | SameAs | Differs | Contradicts


def differences(remarks: Iterable[Remark]) -> tuple[Differs, ...]:
    """The remarks on what an entry was worth at one of its moments alone."""
    return tuple(remark for remark in remarks if isinstance(remark, Differs))
