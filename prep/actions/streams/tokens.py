"""The streams of tokens."""

from uuid import UUID

from prep.actions.streams.ids import NamedById
from prep.actions.streams.reference import ReferenceStream
from prep.actions.streams.sites import roles_at_named_site
from prep.actions.streams.stream import Change, Loaded, Standing
from prep.models import Person, Token
from prep.queries.people import roles_at, sites_of
from prep.queries.tokens import program_token, system_named
from prep.record.command import Command
from prep.record.refusal import Refusal
from prep.record.roles import Role
from prep.record.token.commands import IssueSystemToken, IssueToken
from prep.record.token.events import TokenRevoked


class TokenStream(NamedById, ReferenceStream):
    """A token of a program: that it was issued, and that it was revoked."""

    name = "token"
    table = Token
    names = UUID("2d0f7c3b-6d0e-4a3e-9a55-8c1c2b9be0a4")

    def unknown(self) -> Refusal:
        """No token has the id, or none that the person may know of."""
        return Refusal("no-such-token")

    def standing(self, person: Person, target: str, command: Command) -> Standing:
        """The roles at the yard it is for; one of all yards is its bearer's, and theirs who
        administer a yard where it can be used."""
        if isinstance(command, IssueSystemToken):
            site = _yard_of(command)
            if not (roles := roles_at(person, site)):
                raise Refusal("no-such-system", field="system")
            return Standing(site, frozenset(roles))
        if isinstance(command, IssueToken):
            if command.site:
                return roles_at_named_site(person, command.site)
            return super().standing(person, target, command)
        row = self._row(target)
        if row.person_id == person.pk:
            return Standing(row.site_id or "", frozenset(), own=True)
        reach = [row.site_id] if row.site_id else sorted(sites_of(row.person))
        held = {site: frozenset(roles) for site in reach if (roles := roles_at(person, site))}
        if not held:
            raise self.unknown()
        administered = (site for site, roles in held.items() if Role.ADMINISTRATOR in roles)
        site = next(administered, next(iter(held)))
        return Standing(site, held[site])

    def site_of(self, target: str, command: Command) -> str:
        """The yard it is for."""
        return self._row(target).site_id or ""

    def apply(self, loaded: Loaded, change: Change) -> None:
        """Bring its row up to date; a new one was stored with the secret's digest."""
        super().apply(loaded, change)
        revoked = isinstance(loaded.state, TokenRevoked)
        Token.objects.filter(pk=self.key(change.target)).update(
            version=loaded.version, revoked=change.context.recorded if revoked else None
        )

    def _row(self, target: str) -> Token:
        row = program_token(self.key(target))
        if row is None:
            raise self.unknown()
        return row


def _yard_of(command: IssueSystemToken) -> str:
    site = system_named(command.system).system_at_id
    assert site is not None  # `system_named` finds no other account
    return site
