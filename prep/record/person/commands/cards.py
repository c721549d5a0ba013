"""Commands on training cards: what somebody was trained for, and until when it holds."""

from collections.abc import Sequence
from typing import Annotated, ClassVar, Literal
from uuid import UUID

from prep.record.command import Facts, Permission
from prep.record.fields import Meta, Privacy, Reason
from prep.record.person import events as e
from prep.record.person.days import checked_day
from prep.record.person.needs import CARD_NUMBER
from prep.record.person.person_command import PersonCommand, must_be_here
from prep.record.person.state import PersonState
from prep.record.refusal import Refusal
from prep.record.roles import OFFICE, Context

# Tire service, powered industrial trucks, and a manufacturer's own course.
CardKind = Annotated[
    Literal["tire", "forklift", "manufacturer-course"],
    Meta(examples=["manufacturer-course"], extra={"choose": "card-kind"}),
]
CardNumber = Annotated[
    str, Meta(max_length=60, examples=["INV-0042"], extra={"privacy": Privacy.PERSONAL})
]
ValidUntil = Annotated[
    str,
    Meta(
        pattern=r"^\d{4}-\d{2}-\d{2}(?!\n)$",
        description="The last day on which it holds, such as 2027-03-31.",
        examples=["2027-03-31"],
        extra={"malformed": "not-a-day", "input": "date"},
    ),
]
CardId = Annotated[UUID, Meta(examples=["0b6cf7f4-51cf-4a6e-9d0a-9a3a5a3f9c11"])]


class RecordCard(PersonCommand, frozen=True, kw_only=True, tag="card.record"):
    """Record a training card of a person, with the day until which it holds.

    A renewed card is recorded beside the former one. The number is kept beside the log.
    """

    permission: ClassVar = Permission(OFFICE)
    needs: ClassVar = (CARD_NUMBER,)

    kind: CardKind
    valid_until: ValidUntil
    manufacturer: Annotated[str, Meta(max_length=60, examples=["Larkfield"])] = ""
    number: CardNumber = ""

    @classmethod
    def guard(cls, state: PersonState, context: Context) -> None:
        """The person works here."""
        must_be_here(state)

    def decide(
        self, state: PersonState, context: Context, facts: Facts
    ) -> Sequence[e.CardRecorded]:
        """A course is a manufacturer's; the other cards are nobody's."""
        course = self.kind == "manufacturer-course"
        manufacturer = self.manufacturer.strip()
        if course and not manufacturer:
            raise Refusal("course-of-whom", field="manufacturer")
        if manufacturer and not course:
            raise Refusal("card-of-no-manufacturer", field="manufacturer")
        card = facts[CARD_NUMBER]
        until = checked_day(self.valid_until, "valid_until")
        return [e.CardRecorded(card.card, self.kind, manufacturer, card.digest, until)]


class WithdrawCard(PersonCommand, frozen=True, kw_only=True, tag="card.withdraw"):
    """Withdraw a training card that does not count any more, or was entered by mistake."""

    permission: ClassVar = Permission(OFFICE)

    card: CardId
    reason: Reason

    def decide(
        self, state: PersonState, context: Context, facts: Facts
    ) -> Sequence[e.CardWithdrawn]:
        """It is one of the person's, and stands."""
        known = state.cards.get(str(self.card))
        if known is None:
            raise Refusal("no-such-card", field="card")
        if known.withdrawn:
            raise Refusal("card-withdrawn", field="card")
        return [e.CardWithdrawn(str(self.card), self.reason)]
