"""Action that opens the first yard."""

from prep.actions.perform import perform
from prep.models import Person
from prep.record.roles import Actor
from prep.record.site.yard_commands import OpenSite


def open_site(site: OpenSite, *, founder: Person) -> None:
    """Open a yard; the founder becomes its first administrator.

    Only the command line does this: the person with access to the server is trusted with it.
    """
    perform(site, actor=Actor(str(founder.pk), str(founder), frozenset()))
