"""Actions on sites: open a yard, give and take roles there."""

from prep.actions.reference_stream import append_one
from prep.actions.write_path import Command
from prep.models import Membership, Person, Site
from prep.queries.people import actor_at
from prep.record.refusal import Refusal
from prep.record.roles import Actor, Context, Role
from prep.record.site.events import MemberAdded, MemberRemoved, SiteOpened


def open_site(
    *, founder: Person, command: Command, code: str, name: str, time_zone: str, dealer: str
) -> None:
    """Open a yard. `founder` becomes its first administrator.

    Only the command line does this: the person with access to the server is trusted with it.
    """
    actor = Actor(str(founder.pk), str(founder), frozenset({Role.ADMINISTRATOR}))
    event = SiteOpened(code, name, time_zone, dealer)

    def index(version: int, context: Context) -> None:
        Site.objects.update_or_create(
            code=code,
            defaults={"name": name, "time_zone": time_zone, "dealer": dealer, "version": version},
        )

    append_one(
        actor=actor,
        command=command,
        stream="site",
        stream_id=code,
        site=code,
        event=event,
        index=index,
    )
    if not Membership.objects.filter(site_id=code, person=founder).exists():
        _add_role(actor, Command(), code, founder, Role.ADMINISTRATOR)


def add_member(*, actor: Person, command: Command, site: str, person: Person, role: Role) -> None:
    """Give a person a role at a site."""
    who = actor_at(actor, site)
    if Role.ADMINISTRATOR not in who.roles:
        raise Refusal("not-allowed", "Only an administrator may give roles.")
    _add_role(who, command, site, person, role)


def _add_role(who: Actor, command: Command, site: str, person: Person, role: Role) -> None:
    def index(version: int, context: Context) -> None:
        Membership.objects.get_or_create(site_id=site, person=person, role=role.value)

    append_one(
        actor=who,
        command=command,
        stream="site",
        stream_id=site,
        site=site,
        event=MemberAdded(str(person.pk), str(person), role.value),
        index=index,
    )


def remove_member(
    *, actor: Person, command: Command, site: str, person: Person, role: Role
) -> None:
    """Take a role from a person; what they signed stays signed."""
    who = actor_at(actor, site)
    if Role.ADMINISTRATOR not in who.roles:
        raise Refusal("not-allowed", "Only an administrator may take roles.")

    def index(version: int, context: Context) -> None:
        Membership.objects.filter(site_id=site, person=person, role=role.value).delete()

    append_one(
        actor=who,
        command=command,
        stream="site",
        stream_id=site,
        site=site,
        event=MemberRemoved(str(person.pk), str(person), role.value),
        index=index,
    )
