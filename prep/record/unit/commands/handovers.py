"""Command that hands a unit over to its buyer."""

from collections.abc import Sequence
from datetime import timedelta

from prep.record.refusal import Refusal
from prep.record.roles import DESK, SERVICE, Context, require
from prep.record.unit import events as e
from prep.record.unit.guards import not_finished
from prep.record.unit.state import Record


def hand_over(
    record: Record,
    context: Context,
    *,
    recipient_digest: str,
    relation: str,
    language: str,
    shown: Sequence[str],
    manual_given: bool,
    hour_meter: str = "",
    place: str = "",
    first_use: str = "own use",
) -> list[e.Event]:
    """Hand the unit over; refuses unless it is released, walked through and its manual given.

    `shown` lists the walk-through topics covered; each of MUST_SHOW is required.
    """
    require(context, DESK | SERVICE, "hand units over")
    not_finished(record)
    _check_released(record)
    _check_walk_through(shown, language, relation, manual_given=manual_given)
    return [
        e.HandedOver(
            handover=str(context.command),
            recipient_digest=recipient_digest,
            relation=relation,
            language=language,
            shown=tuple(shown),
            manual_given=manual_given,
            hour_meter=hour_meter,
            place=place,
            first_use=first_use,
            registration_due=_registration_due(record, context),
        )
    ]


def _check_released(record: Record) -> None:
    if record.release is None or record.release.event.ready_for != "buyer":
        raise Refusal(
            "not-released",
            "Only a unit released for its buyer can be handed over. Ask the service manager.",
        )


def _check_walk_through(
    shown: Sequence[str], language: str, relation: str, *, manual_given: bool
) -> None:
    if not manual_given:
        raise Refusal(
            "manual-missing",
            "The maker's manual goes with the machine. Hand it over first, then record it.",
            field="manual_given",
        )
    missing = [topic for topic in MUST_SHOW if topic not in shown]
    if missing:
        raise Refusal(
            "not-shown",
            f"Show the recipient first: {'; '.join(missing)}.",
            field="shown",
            missing=missing,
        )
    if not language.strip() or not relation.strip():
        raise Refusal(
            "recipient-unclear",
            "Say in which language it was shown and what the recipient is to the buyer.",
            field="language" if not language.strip() else "relation",
        )


def _registration_due(record: Record, context: Context) -> str:
    """Manufacturer's deadline for the registration (ISO date); empty where it is not known."""
    days = record.model.data.get("registration_days") if record.model else None
    if not isinstance(days, int):
        return ""
    return (context.happened.date() + timedelta(days=days)).isoformat()


# Topics of every walk-through. Common practice, no published source; the manufacturer's own list
# comes first.
MUST_SHOW = (
    "adjustments",
    "grease points and oil levels",
    "safety signs and their meaning",
    "engaging the drive",
    "transport locks and road travel",
    "first-hours checks",
)
