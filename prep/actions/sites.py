"""Actions that open a yard with its first people."""

from typing import Final

from prep.actions.perform import perform
from prep.models import Person
from prep.queries.people import roles_of
from prep.record.roles import Actor, Role
from prep.record.site.commands import GiveRole, OpenSite
from prep.record.struct_errors import checked

# What the first person of a dealership is, so that work can start: others are invited later.
FOUNDER: Final = (Role.ADMINISTRATOR, Role.SERVICE_MANAGER, Role.TECHNICIAN)


def check_new(site: OpenSite) -> None:
    """Refuse a yard that cannot be opened as it is, before anybody is asked for anything."""
    checked(site).check()


def open_site(
    site: OpenSite, *, founder: Person, roles: tuple[Role, ...] = (Role.ADMINISTRATOR,)
) -> None:
    """Open a yard; the founder gets the first roles there.

    Only the command line does this: the person with access to the server is trusted with it.
    """
    console = Actor(str(founder.pk), str(founder), frozenset())
    perform(site, actor=console)
    held = roles_of(founder, site.site)
    for role in roles:
        if role not in held:
            giving = GiveRole(person=founder.username, role=role)
            perform(giving, actor=console, target=site.site)
