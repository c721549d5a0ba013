"""Commands on a token: issue one for oneself or for a system account, revoke one."""

from collections.abc import Sequence
from typing import Annotated, ClassVar, Final

from prep.record.command import Command, Facts, Permission
from prep.record.fields import FILLED, Meta
from prep.record.log.envelope import moment
from prep.record.refusal import Refusal
from prep.record.roles import Context, Role
from prep.record.token.events import TokenIssued, TokenRevoked
from prep.record.token.needs import NEW_TOKEN
from prep.record.token.scopes import Scope

EVERYBODY: Final = Permission(frozenset(Role))
MOST_DAYS: Final = 365

TokenName = Annotated[
    str,
    Meta(
        max_length=60,
        pattern=FILLED,
        description="What it is for, as the list of tokens shows it.",
        examples=["Parts counter"],
    ),
]
Scopes = Annotated[
    tuple[Scope, ...],
    Meta(min_length=1, max_length=len(Scope), examples=[["read"]], extra={"choose": "scope"}),
]
SystemScopes = Annotated[Scopes, Meta(extra={"choose": "system-scope"})]
Days = Annotated[
    int,
    Meta(
        ge=1,
        le=MOST_DAYS,
        description="How many days it is good for, up to a year.",
        examples=[90],
    ),
]


class IssueToken(Command, frozen=True, kw_only=True, tag="token.issue"):
    """Issue yourself a token for a program. It is shown once."""

    stream: ClassVar[str] = "token"
    permission: ClassVar = EVERYBODY
    creates: ClassVar = True
    in_person: ClassVar = True
    needs: ClassVar = (NEW_TOKEN,)

    name: TokenName
    scopes: Scopes
    days: Days
    site: Annotated[
        str,
        Meta(max_length=20, description="One yard; empty for all of yours.", examples=["NORTH"]),
    ] = ""

    def decide(self, state: object, context: Context, facts: Facts) -> Sequence[TokenIssued]:
        """The token is good from now on."""
        return [_issued(self.name, self.scopes, facts)]


class IssueSystemToken(Command, frozen=True, kw_only=True, tag="token.issue-system"):
    """Issue a token for a system account of the yard. It is shown once."""

    stream: ClassVar[str] = "token"
    permission: ClassVar = Permission(frozenset({Role.ADMINISTRATOR}))
    creates: ClassVar = True
    in_person: ClassVar = True
    needs: ClassVar = (NEW_TOKEN,)

    system: Annotated[
        str,
        Meta(
            min_length=1,
            max_length=150,
            description="User name of the system account.",
            examples=["parts-counter"],
            extra={"choose": "hidden"},
        ),
    ]
    name: TokenName
    scopes: SystemScopes
    days: Days

    def decide(self, state: object, context: Context, facts: Facts) -> Sequence[TokenIssued]:
        """The token is good from now on; nothing is signed with it, because a system has no PIN."""
        if Scope.SIGN in self.scopes:
            raise Refusal("system-cannot-sign", field="scopes")
        return [_issued(self.name, self.scopes, facts)]


class RevokeToken(Command, frozen=True, kw_only=True, tag="token.revoke"):
    """Revoke a token: your own, or one that can be used at a yard you administer."""

    stream: ClassVar[str] = "token"
    permission: ClassVar = Permission(frozenset({Role.ADMINISTRATOR}), own=True)

    @classmethod
    def guard(cls, state: object, context: Context) -> None:
        """A token is revoked once."""
        if isinstance(state, TokenRevoked):
            raise Refusal("token-revoked-already")

    def decide(self, state: object, context: Context, facts: Facts) -> Sequence[TokenRevoked]:
        """The token is worthless from now on."""
        assert isinstance(state, TokenIssued)  # the guard refused every other state
        return [TokenRevoked(state.person, state.name, state.site)]


def _issued(name: str, scopes: Sequence[Scope], facts: Facts) -> TokenIssued:
    new = facts[NEW_TOKEN]
    return TokenIssued(
        person=new.bearer.id,
        person_name=new.bearer.name,
        name=name,
        scopes=tuple(sorted(set(scopes))),
        site=new.site,
        expires=moment(new.expires),
        fingerprint=new.fingerprint,
    )
