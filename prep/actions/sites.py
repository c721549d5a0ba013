"""Action that opens a yard with its first administrator."""

from prep.actions.perform import perform
from prep.models import Membership, Person
from prep.record.roles import Actor, Role
from prep.record.site.commands import GiveRole, OpenSite


def open_site(site: OpenSite, *, founder: Person) -> None:
    """Open a yard; the founder becomes its first administrator.

    Only the command line does this: the person with access to the server is trusted with it.
    """
    console = Actor(str(founder.pk), str(founder), frozenset())
    perform(site, actor=console)
    if not Membership.objects.filter(site_id=site.site, person=founder).exists():
        role = GiveRole(person=founder.username, role=Role.ADMINISTRATOR)
        perform(role, actor=console, target=site.site)
