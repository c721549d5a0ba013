"""Who asks for a list, and where they may read it."""

from collections.abc import Iterable, Mapping

from prep.models import Person
from prep.queries.listing.declaration import Asker, Listing
from prep.queries.people import sites_of
from prep.queries.readers import reader_of
from prep.record.reads import READS, permit_read
from prep.record.roles import Role


def asker_of(person: Person, listing: Listing) -> Asker:
    """The asker of a list; Refusal where they may read it nowhere. One query."""
    return asker_at(person, sites_of(person), listing)


def asker_at(person: Person, held: Mapping[str, frozenset[Role]], listing: Listing) -> Asker:
    """The same, with the roles that are known already. No query."""
    sites = _where(held.items(), listing.read)
    if not sites:
        permit_read(listing.read, frozenset(role for roles in held.values() for role in roles))
    buyers = person.access.allows_read("buyer.view")
    buyers_at = _where(held.items(), "buyer.view") if buyers else ()
    return Asker(person, sites, buyers_at, reader_of(person))


def readable(person: Person, listings: Iterable[Listing]) -> list[Listing]:
    """Those of some lists that a person may read at any site. One query."""
    held = sites_of(person)
    return [one for one in listings if _where(held.items(), one.read)]


def _where(held: Iterable[tuple[str, frozenset[Role]]], read: str) -> tuple[str, ...]:
    return tuple(site for site, roles in held if READS[read].roles & roles)
