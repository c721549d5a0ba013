"""Commands on who a site's people are: roles, programs, and who keeps its checkpoints."""

from collections.abc import Sequence
from typing import Annotated, ClassVar, Literal
from uuid import UUID

from prep.record.command import Command, Facts, Permission
from prep.record.fields import FILLED, Meta, Privacy
from prep.record.needs import KEEPER, PERSON, SYSTEM
from prep.record.refusal import Refusal
from prep.record.roles import Context, Role
from prep.record.site.events import (
    KeeperAdded,
    KeeperRemoved,
    MemberAdded,
    MemberRemoved,
    SystemAdded,
)

UserName = Annotated[
    str, Meta(min_length=1, max_length=150, description="User name.", examples=["pat"])
]


class GiveRole(Command, frozen=True, kw_only=True, tag="member.add"):
    """Give a person a role at a site."""

    stream: ClassVar[str] = "site"
    permission: ClassVar = Permission(frozenset({Role.ADMINISTRATOR}))
    needs: ClassVar = (PERSON,)

    person: UserName
    role: Role

    def decide(self, state: object, context: Context, facts: Facts) -> Sequence[MemberAdded]:
        """The person holds the role from now on."""
        return [MemberAdded(facts[PERSON].id, facts[PERSON].name, self.role.value)]


class TakeRole(Command, frozen=True, kw_only=True, tag="member.remove"):
    """Take a role from a person; what they signed stays signed."""

    stream: ClassVar[str] = "site"
    permission: ClassVar = Permission(frozenset({Role.ADMINISTRATOR}))
    needs: ClassVar = (PERSON,)

    person: UserName
    role: Role

    def decide(self, state: object, context: Context, facts: Facts) -> Sequence[MemberRemoved]:
        """The person no longer holds the role."""
        return [MemberRemoved(facts[PERSON].id, facts[PERSON].name, self.role.value)]


class AddSystem(Command, frozen=True, kw_only=True, tag="system.add"):
    """Add an account for a program of this yard: it has no password and no PIN, only tokens.

    Every event shows it by its name, which ends in “(system)”.
    """

    stream: ClassVar[str] = "site"
    permission: ClassVar = Permission(frozenset({Role.ADMINISTRATOR}))
    needs: ClassVar = (SYSTEM,)

    username: UserName
    name: Annotated[
        str,
        Meta(max_length=100, pattern=FILLED, description="What it is.", examples=["Parts counter"]),
    ]
    roles: Annotated[
        tuple[Role, ...],
        Meta(min_length=1, max_length=len(Role), examples=[["sales"]], extra={"choose": "role"}),
    ]

    def decide(
        self, state: object, context: Context, facts: Facts
    ) -> Sequence[SystemAdded | MemberAdded]:
        """The account is there, with these roles; nobody answers for an administrator without a
        PIN, so a program is none."""
        if Role.ADMINISTRATOR in self.roles:
            raise Refusal("system-not-administrator", field="roles")
        system = facts[SYSTEM]
        given = [MemberAdded(system.id, system.name, role) for role in sorted(set(self.roles))]
        return [SystemAdded(system.id, system.name), *given]


KeeperEmail = Annotated[
    str,
    Meta(
        max_length=254,
        pattern=r"^[^@\s]+@[^@\s]+\.[^@\s]+(?!\n)$",
        examples=["records@kept.example"],
        extra={"privacy": Privacy.PERSONAL, "malformed": "not-an-email"},
    ),
]


class AddKeeper(Command, frozen=True, kw_only=True, tag="keeper.add"):
    """Send the log's signed checkpoint to an address outside, once a day.

    What was sent shows later whether the log was rewritten. The address is kept beside the log, so
    that it can be removed.
    """

    stream: ClassVar[str] = "site"
    permission: ClassVar = Permission(frozenset({Role.ADMINISTRATOR}))
    needs: ClassVar = (KEEPER,)

    email: KeeperEmail
    language: Literal["en", "es", "fr"] = "en"

    def decide(self, state: object, context: Context, facts: Facts) -> Sequence[KeeperAdded]:
        """The address gets the next checkpoint."""
        return [KeeperAdded(facts[KEEPER].id, facts[KEEPER].digest, self.language)]


class RemoveKeeper(Command, frozen=True, kw_only=True, tag="keeper.remove"):
    """Send no more checkpoints to an address, and keep it no longer."""

    stream: ClassVar[str] = "site"
    permission: ClassVar = Permission(frozenset({Role.ADMINISTRATOR}))
    needs: ClassVar = (KEEPER,)

    keeper: Annotated[UUID, Meta(examples=["0b6cf7f4-51cf-4a6e-9d0a-9a3a5a3f9c11"])]

    def decide(self, state: object, context: Context, facts: Facts) -> Sequence[KeeperRemoved]:
        """The address gets no more."""
        return [KeeperRemoved(facts[KEEPER].id)]
