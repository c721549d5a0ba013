"""Events on which machine a unit is, and on pictures of it."""

from prep.record.facts import ModelFacts, Wording
from prep.record.unit.events.base import Event


class PhotoAttached(Event, frozen=True, tag="photo.attached"):
    """A photo was attached to a line; `digest` is the SHA-256 of the stored file.

    The picture was drawn anew before it was kept: `sent` is the SHA-256 of what was sent, which
    whoever took it may hold, `small` that of the small copy shown on pages.
    A photo `of_paper` shows a page filled in by hand and belongs to no line; `mark` is the mark
    printed on the page. Nor does one `of_plate`, which shows the unit's plate. One of `people` is
    personal.
    """

    photo: str
    step: str
    line: str
    position: str
    digest: str
    sent: str
    small: str
    name: str
    bytes: int
    note: str = ""
    of_paper: bool = False
    mark: str = ""
    of_plate: bool = False
    people: bool = False


class PhotoMarked(Event, frozen=True, tag="photo.marked"):
    """A photo was marked afterwards as one of `people`, or as none, and why."""

    photo: str
    people: bool
    reason: str


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


class ModelCorrected(Event, frozen=True, tag="unit.model_corrected"):
    """The unit is of another model than its preparation was started on.

    `reopened` are the begun steps to be done again, because they draw on the model's data; `kept`
    the begun steps that stand.
    """

    model: ModelFacts
    options: tuple[str, ...]
    was_model: str
    reason: str
    reopened: tuple[str, ...]
    kept: tuple[str, ...]


class RecordJoined(Event, frozen=True, tag="unit.record_joined"):
    """Another record of the same machine was joined to this one, which goes on.

    `unit` is its id, `version` where it stood when it ended.
    """

    unit: str
    maker: str
    serial: str
    version: int
    reason: str
    wording: Wording


class JoinedInto(Event, frozen=True, tag="unit.joined_into"):
    """This record ended: the machine's record goes on as that of the unit named."""

    unit: str
    maker: str
    serial: str
    reason: str
    wording: Wording


IdentityEvent = PhotoMarked | PlateCorrected | ModelCorrected | RecordJoined | JoinedInto
