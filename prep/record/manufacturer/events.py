"""Events of a manufacturer's stream."""

from prep.record.log.reference_event import ReferenceEvent


class ManufacturerAdded(ReferenceEvent, frozen=True, tag="manufacturer.added"):
    """A manufacturer was added to the register.

    `name` is as its plates print it, `aliases` are further spellings people use. `compared` are the
    names it was told apart from.
    """

    name: str
    aliases: tuple[str, ...]
    compared: tuple[str, ...] = ()


class ManufacturerCorrected(ReferenceEvent, frozen=True, tag="manufacturer.corrected"):
    """A manufacturer's name or aliases were corrected; what was received keeps the name it had."""

    name: str
    aliases: tuple[str, ...]
    reason: str
    compared: tuple[str, ...] = ()
