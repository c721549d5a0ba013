"""Commands on nonconformities: raise a flag, close it, grant a concession."""

from collections.abc import Iterator, Sequence
from typing import ClassVar

from prep.record.command import Facts, Permission
from prep.record.fields import FlagId, Pin, Reason, Short, Text
from prep.record.moments import Bound
from prep.record.needs import WORDING
from prep.record.refusal import Refusal
from prep.record.roles import MANAGER, SERVICE, Context, Role
from prep.record.unit import events as e
from prep.record.unit.flag_facts import Closing, Origin
from prep.record.unit.guards import find_step, unreleased
from prep.record.unit.state import Flag, Record
from prep.record.unit.unit_command import UnitCommand

BOUND_TO_ENTRY = frozenset(
    {Origin.READING, Origin.GUARD_BAND, Origin.INSTRUMENT, Origin.CHECK, Origin.MOMENTS}
    | {Origin.UNMEASURED}
)


class RaiseFlag(UnitCommand, frozen=True, kw_only=True, tag="flag.raise"):
    """Report a problem.

    The flag blocks release until the problem is fixed or accepted.
    """

    permission: ClassVar = Permission(SERVICE | {Role.SALES})
    by_author: ClassVar = True

    text: Text
    step: Short = ""

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """The unit is not released."""
        unreleased(state)

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The step, where one is named, is one of the sheet."""
        if self.step:
            find_step(state, self.step)
        return [e.FlagRaised(str(context.command), Origin.PERSON.value, self.text, self.step)]


class CloseFlag(UnitCommand, frozen=True, kw_only=True, tag="flag.close"):
    """Close a flag by saying how the problem was fixed.

    A flag that an entry raised closes by an in-limit entry in the same box instead.
    """

    permission: ClassVar = Permission(SERVICE)
    by_author: ClassVar = True

    flag: FlagId
    text: Text

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """The unit is not released, and has an open flag."""
        _has_open_flag(state)

    def bounds(self, state: Record) -> Iterator[Bound]:
        """The flag."""
        return _after_flag(state, self.flag)

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The flag is open, and no entry raised it."""
        if _open_flag(state, self.flag).about.origin in BOUND_TO_ENTRY:
            raise Refusal("needs-entry")
        return [e.FlagClosed(self.flag, Closing.FIXED.value, text=self.text)]


class GrantConcession(UnitCommand, frozen=True, kw_only=True, tag="flag.concede"):
    """Grant a concession: accept an out-of-limit item under one's own name, with a reason."""

    permission: ClassVar = Permission(MANAGER)
    needs: ClassVar = (WORDING,)

    flag: FlagId
    reason: Reason
    pin: Pin

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """The unit is not released, and has an open flag."""
        _has_open_flag(state)

    def bounds(self, state: Record) -> Iterator[Bound]:
        """The flag."""
        return _after_flag(state, self.flag)

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The flag is open, and somebody else raised it."""
        raised = _open_flag(state, self.flag).stamp
        if context.actor.id in {raised.actor, raised.named.id if raised.named else ""}:
            raise Refusal("own-concession")
        return [e.ConcessionGranted(str(context.command), self.flag, self.reason, facts[WORDING])]


def _has_open_flag(record: Record) -> None:
    unreleased(record)
    if not record.open_flags():
        raise Refusal("no-open-flag", field="flag")


def _after_flag(record: Record, flag: str) -> Iterator[Bound]:
    known = record.flags.get(flag)
    if known:
        moment = known.stamp.happened
        yield Bound(moment, Refusal("happened-before-flag", moment=moment))


def _open_flag(record: Record, flag: str) -> Flag:
    known = record.flags.get(flag)
    if known is None:
        raise Refusal("no-such-flag", field="flag")
    if not known.open:
        raise Refusal("flag-closed", field="flag")
    return known
