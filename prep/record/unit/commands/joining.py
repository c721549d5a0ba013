"""Command that joins two records of one machine."""

from collections.abc import Mapping, Sequence
from typing import Annotated, ClassVar
from uuid import UUID

import msgspec

from prep.record.command import Facts, Permission
from prep.record.fields import Meta, Pin, Reason
from prep.record.needs import WORDING
from prep.record.refusal import Refusal
from prep.record.roles import MANAGER, Context
from prep.record.unit import events as e
from prep.record.unit.events.identity import JoinedInto, RecordJoined
from prep.record.unit.guards import received
from prep.record.unit.joining import JOINING, Joining
from prep.record.unit.state import Record
from prep.record.unit.unit_command import UnitCommand

UnitId = Annotated[
    UUID,
    Meta(
        examples=["4b3f2d0e-6a0c-4c0e-9f5b-1f6f2a3b4c5d"],
        description="Id of the unit whose record ends.",
        extra={"choose": "joinable"},
    ),
]


class JoinUnit(UnitCommand, frozen=True, kw_only=True, tag="unit.join"):
    """Join another record of the same machine to this one, which goes on.

    Both histories stay. The other record ends: nothing more is entered in it, its release no longer
    stands, lists leave it out, and its serial number finds this unit. What was entered there does
    not count here. The record that is sold or handed over is the one that goes on.
    """

    permission: ClassVar = Permission(MANAGER)
    needs: ClassVar = (JOINING, WORDING)
    changes: ClassVar = ("serials",)
    must_match: ClassVar = True
    others: ClassVar = "unit-joined"

    joined: UnitId
    reason: Reason
    pin: Pin

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """The record has not ended itself."""
        received(state)

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The other record is of this yard, goes on still, and is not sold to somebody else."""
        joining = facts[JOINING]
        _check(state, joining)
        other = joining.record
        return [
            RecordJoined(
                unit=str(self.joined),
                maker=other.maker,
                serial=other.serial,
                version=other.version,
                reason=self.reason,
                wording=facts[WORDING],
            )
        ]

    def decide_others(
        self, others: Mapping[str, Record], context: Context, facts: Facts
    ) -> Mapping[str, Sequence[msgspec.Struct]]:
        """The other record ends with the event that says where it goes on."""
        joining = facts[JOINING]
        ended = JoinedInto(
            unit=joining.into,
            maker=joining.into_maker,
            serial=joining.into_serial,
            reason=self.reason,
            wording=facts[WORDING],
        )
        return {str(self.joined): [ended]}


def _check(state: Record, joining: Joining) -> None:
    other = joining.record
    if joining.itself:
        raise Refusal("join-itself", field="joined")
    received(other)
    if not joining.same_site:
        raise Refusal("join-other-yard", field="joined", serial=other.serial)
    if other.buyer and state.buyer and other.buyer.id != state.buyer.id:
        raise Refusal("join-two-buyers", field="joined", serial=other.serial)
    if (other.handover and not state.handover) or (other.buyer and not state.buyer):
        raise Refusal("join-the-other-way", field="joined", serial=other.serial)
