"""Every list, by its name."""

from typing import Final

from prep.queries.listing.declaration import Listing
from prep.queries.lists.buyers import BUYERS
from prep.queries.lists.devices import DEVICES
from prep.queries.lists.entries import ENTRIES
from prep.queries.lists.flags import FLAGS
from prep.queries.lists.guests import GUESTS
from prep.queries.lists.instruments import INSTRUMENTS
from prep.queries.lists.log import LOG
from prep.queries.lists.machine_models import MODELS, TRACTORS
from prep.queries.lists.manufacturers import MANUFACTURERS
from prep.queries.lists.people import CARDS, MEMBERS, PEOPLE
from prep.queries.lists.personal_reads import PERSONAL_READS
from prep.queries.lists.procedures import PROCEDURES
from prep.queries.lists.registrations import REGISTRATIONS
from prep.queries.lists.shortages import SHORTAGES
from prep.queries.lists.sites import SITES
from prep.queries.lists.units import UNITS
from reports.lists.documents import DOCUMENTS

LISTS: Final[dict[str, Listing]] = {
    listing.name: listing
    for listing in (
        UNITS,
        ENTRIES,
        FLAGS,
        SHORTAGES,
        INSTRUMENTS,
        BUYERS,
        DOCUMENTS,
        REGISTRATIONS,
        PROCEDURES,
        MANUFACTURERS,
        MODELS,
        TRACTORS,
        SITES,
        MEMBERS,
        PEOPLE,
        DEVICES,
        CARDS,
        GUESTS,
        PERSONAL_READS,
        LOG,
    )
}
