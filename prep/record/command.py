"""What a command is: one struct with its permission, the facts it needs, and its decision.

The struct is the only place a command is described. The body and the schema of its endpoint, its
form, the digest of its request, its place in a batch and its row of the permission table follow
from it.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar, Final, Generic, Literal, TypeVar, cast, get_type_hints

import msgspec

from prep.record.fields import Privacy, meta_of
from prep.record.moments import Bound, Said
from prep.record.refusal import Refusal
from prep.record.roles import Context, Role

T = TypeVar("T")


@dataclass(frozen=True)
class Permission:
    """Who may give a command or make a named read.

    `roles` are held at the yard concerned, or at any yard where it concerns none. What is `own`
    the person it is about may do as well, whatever their roles. Otherwise without roles only the
    service itself may.
    """

    roles: frozenset[Role]
    own: bool = False


@dataclass(frozen=True)
class Need(Generic[T]):
    """A fact that a decision reads from outside its stream; `prep.actions.facts` loads it."""

    name: str


class Facts:
    """The facts loaded for a decision, by need."""

    def __init__(self, values: dict[str, Any] | None = None) -> None:
        self._values = values or {}

    def __getitem__(self, need: Need[T]) -> T:
        """The fact; KeyError where the command did not declare the need."""
        return cast(T, self._values[need.name])


NO_FACTS: Final = Facts()


class Command(
    msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, tag_field="command"
):
    """A command; its tag is `noun.verb`.

    `stream` is the kind of stream it writes to. One that `creates` starts a new stream. `needs`
    are the facts its decision reads, `changes` the named sets it adds to or takes from.
    One that is not `offered` is given by the service or at its console only. With an
    `attachment` a picture of that sort is sent with it. One that `must_match` names the version it
    was decided on. `others` names further streams that change with it, in the same transaction.
    One `by_author` is an entry that a shared device may send in the name of whoever made it. One
    `at_once` takes effect when it is recorded: nobody dates it back.
    """

    stream: ClassVar[str]
    permission: ClassVar[Permission]
    creates: ClassVar[bool] = False
    needs: ClassVar[tuple[Need[Any], ...]] = ()
    changes: ClassVar[tuple[str, ...]] = ()
    offered: ClassVar[bool] = True
    attachment: ClassVar[Literal["", "photo", "logo"]] = ""
    must_match: ClassVar[bool] = False
    others: ClassVar[Literal["", "units-of-buyer", "unit-joined"]] = ""
    by_author: ClassVar[bool] = False
    at_once: ClassVar[bool] = False

    @classmethod
    def tag(cls) -> str:
        """`noun.verb`."""
        return str(cls.__struct_config__.tag)

    @classmethod
    def signs(cls) -> bool:
        """Whether the command is a signature, confirmed by the PIN of whoever gives it."""
        return "pin" in cls.__struct_fields__

    @classmethod
    def noun(cls) -> str:
        """The first half of the tag."""
        return cls.tag().partition(".")[0]

    @classmethod
    def verb(cls) -> str:
        """The second half of the tag."""
        return cls.tag().partition(".")[2]

    @classmethod
    def guard(cls, state: Any, context: Context) -> None:
        """Refuse where the state of the stream does not allow the command, whatever its fields."""

    def dated(self) -> Said | None:
        """When it happened by a field of the command; None where none says so."""
        return None

    def bounds(self, state: Any) -> Iterator[Bound]:
        """What it cannot have happened before, as far as its stream tells."""
        return iter(())

    def decide(self, state: Any, context: Context, facts: Facts) -> Sequence[msgspec.Struct]:
        """The events the command causes; Refusal where it may not be carried out."""
        raise NotImplementedError

    def decide_others(
        self, others: Mapping[str, Any], context: Context, facts: Facts
    ) -> Mapping[str, Sequence[msgspec.Struct]]:
        """The events of the further streams, by their ids."""
        return {}


def privacy_of(command: type[msgspec.Struct]) -> dict[str, Privacy]:
    """The fields of a command that are personal or secret."""
    hints = get_type_hints(command, include_extras=True)
    marked = {name: _privacy(hints[name]) for name in command.__struct_fields__}
    return {name: privacy for name, privacy in marked.items() if privacy}


def _privacy(hint: Any) -> Privacy | None:
    """Of a type, or of the one type beside None in it."""
    own = meta_of(hint).get("privacy")
    if own:
        return Privacy(own)
    return next(
        (found for part in getattr(hint, "__args__", ()) if (found := _privacy(part))), None
    )


def permit(
    command: type[Command], roles: frozenset[Role], site: str = "", *, own: bool = False
) -> None:
    """Refuse a command to whoever holds none of its roles.

    `site` is named in the refusal where it is not the one the person works at. `own` says that the
    command is about the person who gives it.
    """
    if own and command.permission.own:
        return
    if not command.permission.roles & roles:
        holders = tuple(sorted(command.permission.roles))
        if command.permission.own and not holders:
            raise Refusal("own-only")
        if not holders:
            raise Refusal("service-only")
        if site:
            raise Refusal("not-allowed-there", roles=holders, site=site)
        raise Refusal("not-allowed", roles=holders)


def possible(command: type[Command], state: Any, context: Context) -> bool:
    """Whether somebody with the actor's roles may give a command as things stand."""
    try:
        permit(command, context.actor.roles)
        command.guard(state, context)
    except Refusal:
        return False
    return True
