"""Command that hands a unit over to its buyer."""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from typing import Annotated, ClassVar, Literal

from prep.record.command import Facts, Permission
from prep.record.fields import FILLED, Meta, Name, PersonName, Pin, Short
from prep.record.moments import Bound
from prep.record.needs import RECIPIENT, WORDING, ZONE
from prep.record.refusal import Refusal
from prep.record.roles import DESK, SERVICE, Context
from prep.record.unit import events as e
from prep.record.unit.guards import after_release, not_finished
from prep.record.unit.state import Record
from prep.record.unit.unit_command import UnitCommand

# Topics of every walk-through; `prep.words.unit.handovers` has their words. Common practice, no
# published source; the manufacturer's own list comes first.
MUST_SHOW = (
    "adjustments",
    "lubrication",
    "safety-signs",
    "drive",
    "transport",
    "first-hours",
)

Topics = Annotated[
    tuple[Name, ...],
    Meta(
        max_length=50,
        description=f"At least: {'; '.join(MUST_SHOW)}.",
        examples=[list(MUST_SHOW)],
        extra={"choose": "topics"},
    ),
]


FirstUse = Annotated[Literal["own", "rental", "commercial"], Meta(extra={"choose": "uses"})]


class HandOver(UnitCommand, frozen=True, kw_only=True, tag="unit.hand-over"):
    """Hand a unit over to its buyer.

    `shown` lists the walk-through topics covered. The recipient's name is kept beside the log,
    where it can be erased; the log holds its salted digest.
    """

    permission: ClassVar = Permission(DESK | SERVICE)
    needs: ClassVar = (RECIPIENT, WORDING, ZONE)
    must_match: ClassVar = True

    recipient: PersonName
    relation: Annotated[
        str,
        Meta(max_length=60, pattern=FILLED, examples=["owner"], extra={"suggest": "owner"}),
    ]
    language: Annotated[
        str,
        Meta(max_length=60, pattern=FILLED, examples=["English"], extra={"suggest": "English"}),
    ]
    shown: Topics
    manual_given: bool
    hour_meter: Short = ""
    place: Name = ""
    first_use: FirstUse = "own"
    pin: Pin

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """The unit is released for its buyer."""
        not_finished(state)
        if state.release is None or state.release.event.ready_for != "buyer":
            raise Refusal("not-released-for-buyer")

    def bounds(self, state: Record) -> Iterator[Bound]:
        """The release for the buyer."""
        return after_release(state.release)

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The manual was given, and every topic of the walk-through covered."""
        if not self.manual_given:
            raise Refusal("manual-missing", field="manual_given")
        missing = [topic for topic in MUST_SHOW if topic not in self.shown]
        if missing:
            raise Refusal("not-shown", field="shown", missing=missing)
        return [
            e.HandedOver(
                handover=str(context.command),
                recipient_digest=facts[RECIPIENT],
                relation=self.relation,
                language=self.language,
                shown=self.shown,
                manual_given=self.manual_given,
                hour_meter=self.hour_meter,
                place=self.place,
                wording=facts[WORDING],
                first_use=self.first_use,
                registration_due=_registration_due(
                    state, context.happened.astimezone(facts[ZONE]).date()
                ),
            )
        ]


def _registration_due(record: Record, day: date) -> str:
    """Manufacturer's deadline for the registration (ISO date); empty where it is not known."""
    days = record.model.data.get("registration_days") if record.model else None
    if not isinstance(days, int):
        return ""
    return (day + timedelta(days=days)).isoformat()
