"""Events of a unit that say which personal data were erased, and what went with them."""

from prep.record.unit.events.base import Event


class PersonalErased(Event, frozen=True, tag="unit.personal_erased"):
    """The buyer's personal data were erased: with the details, the name of who received the unit,
    by the handover's id, and these photos, which show people."""

    recipient: str
    photos: tuple[str, ...]


class DocumentErased(Event, frozen=True, tag="document.erased"):
    """The file of a document was erased, because of the personal data in it."""

    document: str
    number: str


ErasureEvent = PersonalErased | DocumentErased
