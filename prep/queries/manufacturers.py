"""The register of manufacturers. It has some dozens of rows and is read as a whole."""

from uuid import UUID

from prep.models import Manufacturer
from prep.record.facts import ManufacturerFacts
from prep.record.manufacturer.names import manufacturer_named
from prep.record.refusal import Refusal
from prep.rules.identity.manufacturer_names import closest


def all_manufacturers() -> list[ManufacturerFacts]:
    """Every manufacturer, sorted by name. One query."""
    rows = Manufacturer.objects.order_by("name", "id").values_list("id", "name", "aliases")
    return [ManufacturerFacts(str(key), name, tuple(aliases)) for key, name, aliases in rows]


def manufacturer(text: str) -> ManufacturerFacts:
    """The manufacturer that a text names; Refusal, with the nearest names, where there is none."""
    known = all_manufacturers()
    if found := manufacturer_named(text, known):
        return found
    wanted = text.strip()
    if not known:
        raise Refusal("no-manufacturers", field="maker", wanted=wanted)
    nearest = closest(wanted, [one for maker in known for one in maker.spellings])
    raise Refusal("no-such-manufacturer", field="maker", wanted=wanted, closest=nearest)


def manufacturer_by_id(key: UUID) -> ManufacturerFacts:
    """A manufacturer by its id; Refusal where there is none."""
    row = Manufacturer.objects.filter(pk=key).values_list("name", "aliases").first()
    if row is None:
        raise Refusal("no-such-manufacturer-id")
    return ManufacturerFacts(str(key), row[0], tuple(row[1]))
