"""Command that gives a program of a yard an account."""

from collections.abc import Sequence
from typing import Annotated, ClassVar

from prep.record.command import Command, Facts, Permission
from prep.record.fields import FILLED, Meta
from prep.record.person.commands.invitations import FirstRoles
from prep.record.person.needs import NEW_SYSTEM
from prep.record.person.person_command import ADMINISTRATORS, UserName
from prep.record.refusal import Refusal
from prep.record.roles import Context, Role
from prep.record.site.events import MemberAdded


class AddSystem(Command, frozen=True, kw_only=True, tag="system.add"):
    """Add an account for a program of this yard: it has no password and no PIN, only tokens.

    Every event shows it by its name, which ends in “(system)”.
    """

    stream: ClassVar[str] = "site"
    permission: ClassVar[Permission] = ADMINISTRATORS
    at_once: ClassVar[bool] = True
    in_person: ClassVar[bool] = True
    needs: ClassVar = (NEW_SYSTEM,)
    changes: ClassVar = ("members",)

    username: UserName
    name: Annotated[
        str,
        Meta(max_length=100, pattern=FILLED, description="What it is.", examples=["Parts counter"]),
    ]
    roles: FirstRoles

    def decide(self, state: object, context: Context, facts: Facts) -> Sequence[MemberAdded]:
        """The account is there, with these roles; nobody answers for an administrator without a
        PIN, so a program is none."""
        if Role.ADMINISTRATOR in self.roles:
            raise Refusal("system-not-administrator", field="roles")
        system = facts[NEW_SYSTEM]
        return [
            MemberAdded(system.id, system.name, role.value) for role in dict.fromkeys(self.roles)
        ]
