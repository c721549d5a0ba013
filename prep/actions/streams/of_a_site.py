"""Streams of what one site has: its buyers, its devices, its guests."""

from prep.actions.streams.ids import NamedById
from prep.actions.streams.reference import ReferenceStream
from prep.actions.streams.sites import roles_at_named_site
from prep.actions.streams.stream import Standing
from prep.models import Person
from prep.queries.people import roles_at
from prep.record.command import Command


class OfASite(NamedById, ReferenceStream):
    """A stream whose first command names a site; from then on its row says which, not a body."""

    def standing(self, person: Person, target: str, command: Command) -> Standing:
        """The roles at the site; without any it does not exist for the person. Two queries."""
        site = self.site_of(target, command)
        if command.creates:
            return roles_at_named_site(person, site)
        roles = frozenset(roles_at(person, site))
        if not roles:
            raise self.unknown()
        return Standing(site, roles)

    def site_of(self, target: str, command: Command) -> str:
        """The site a command names, or else the one on record."""
        if command.creates:
            named: str = command.site  # type: ignore[attr-defined]  # each first command has it
            return named
        rows = self.table._default_manager.filter(pk=self.key(target))
        site: str | None = rows.values_list("site_id", flat=True).first()
        if site is None:
            raise self.unknown()
        return site
