"""What all commands on a person have in common."""

from typing import Annotated, ClassVar, Final, Literal

from prep.record.command import Command, Permission
from prep.record.fields import FILLED, Meta, Privacy
from prep.record.person.state import PersonState, Status
from prep.record.refusal import Refusal
from prep.record.roles import Role

ADMINISTRATORS: Final = Permission(frozenset({Role.ADMINISTRATOR}))
OWN: Final = Permission(frozenset(), own=True)
CONSOLE: Final = Permission(frozenset())

UserName = Annotated[
    str,
    Meta(
        min_length=1,
        max_length=150,
        pattern=r"^[\w.@+-]+(?!\n)$",
        description="What the person signs in with: letters, digits and . _ - + @, no spaces.",
        examples=["jo.example"],
        extra={"malformed": "not-a-user-name"},
    ),
]
PrintedName = Annotated[
    str,
    Meta(
        max_length=120,
        pattern=FILLED,
        description="The name as it is printed beside signatures.",
        examples=["Jo Example (invented)"],
    ),
]
Password = Annotated[
    str, Meta(max_length=256, examples=["an invented long word"], extra={"privacy": Privacy.SECRET})
]
NewPin = Annotated[str, Meta(max_length=60, examples=["4711"], extra={"privacy": Privacy.SECRET})]
Language = Annotated[Literal["en", "es", "fr"], Meta(extra={"choose": "language"})]
Units = Annotated[Literal["us", "metric"], Meta(extra={"choose": "units"})]
# How decimals are typed and shown; empty where nobody has said.
Numbers = Annotated[Literal["", "point", "comma"], Meta(extra={"choose": "numbers"})]


class PersonCommand(Command, frozen=True, kw_only=True):
    """A command on a person, by an administrator of a yard where they work or by themselves.

    `at_every_yard` asks for the role at each of the person's yards. What only takes access away may
    be done by an administrator of any of them: a lost tablet must not wait. What hands out access
    could be turned on another yard, so it takes an administrator of all of them, or the console.
    """

    stream: ClassVar[str] = "person"
    permission: ClassVar[Permission] = ADMINISTRATORS
    at_once: ClassVar[bool] = True
    at_every_yard: ClassVar[bool] = False


def must_be_here(state: PersonState) -> None:
    """Refuse what is not done to an account that is shut."""
    if state.status is Status.LEFT:
        raise Refusal("person-left", person=state.name)
    if state.status is Status.SUSPENDED:
        raise Refusal("person-suspended", person=state.name)
