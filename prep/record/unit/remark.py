"""Remarks on an entry, as events keep them."""

import msgspec


class Late(msgspec.Struct, frozen=True, tag_field="remark", tag="late"):
    """An entry was recorded so many minutes after it happened."""

    minutes: int


class SameAs(msgspec.Struct, frozen=True, tag_field="remark", tag="same-as"):
    """A value was typed the same as the one at another position, so many seconds apart."""

    position: str
    seconds: int


Remark = Late | SameAs
