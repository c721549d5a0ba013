"""The streams of sites, and the roles people hold there."""

from uuid import UUID

from prep.actions.streams.reference import ReferenceStream
from prep.actions.streams.stream import Change, Loaded, Standing
from prep.models import CheckpointKeeper, Membership, Person, Site, UnitCount
from prep.queries.people import roles_at
from prep.record.command import Command
from prep.record.refusal import Refusal
from prep.record.site.events import KeeperRemoved, MemberAdded, MemberRemoved, SiteOpened
from prep.record.site.yard_columns import columns_of
from prep.record.site.yard_commands import OpenSite
from prep.record.unit.views.facets import FACETS


class SiteStream(ReferenceStream):
    """A yard: its details, and who holds which role."""

    name = "site"
    table = Site

    def new_target(self, command: Command, command_id: UUID) -> str:
        """The code of the site."""
        assert isinstance(command, OpenSite)
        return command.site

    def standing(self, person: Person, target: str, command: Command) -> Standing:
        """The person's roles at the site; a new one is opened by whoever may at another. One
        query."""
        if isinstance(command, OpenSite):
            anywhere = super().standing(person, target, command).roles
            return Standing(command.site, anywhere)
        return roles_at_named_site(person, target)

    def site_of(self, target: str, command: Command) -> str:
        """The site itself."""
        return target

    def apply(self, loaded: Loaded, change: Change) -> None:
        """Write the site's row, or the membership's."""
        super().apply(loaded, change)
        first = loaded.version - len(change.events) + 1
        for version, event in enumerate(change.events, first):
            if changed := columns_of(event):
                Site.objects.update_or_create(
                    code=change.target, defaults={**changed, "version": version}
                )
            if isinstance(event, SiteOpened):
                UnitCount.objects.bulk_create(
                    [UnitCount(site_id=change.target, facet=facet) for facet in FACETS]
                )
            elif isinstance(event, MemberAdded):
                Membership.objects.get_or_create(
                    site_id=change.target, person_id=event.person, role=event.role
                )
            elif isinstance(event, KeeperRemoved):
                CheckpointKeeper.objects.filter(pk=event.keeper).delete()
            elif isinstance(event, MemberRemoved):
                Membership.objects.filter(
                    site_id=change.target, person_id=event.person, role=event.role
                ).delete()


def roles_at_named_site(person: Person, site: str) -> Standing:
    """The roles at a site; Refusal, as of a site that does not exist, without any."""
    roles = roles_at(person, site)
    if not roles:
        raise Refusal("no-such-site", field="site")
    return Standing(site, frozenset(roles))
