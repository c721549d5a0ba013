"""Events that change which machine a unit is."""

from prep.record.facts import Wording
from prep.record.unit.event import Event


class PlateCorrected(Event, frozen=True, tag="unit.plate_corrected"):
    """The plate had been misread: manufacturer and serial as they are, and as they were read.

    `photo` is the id of a photo of the plate on the unit's record, `digest` the SHA-256 of its
    file.
    """

    maker: str
    manufacturer: str
    serial: str
    plate: str
    was_maker: str
    was_serial: str
    look_alikes: tuple[str, ...]
    reason: str
    photo: str
    digest: str
    wording: Wording
