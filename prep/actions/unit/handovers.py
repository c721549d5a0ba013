"""Action that hands a unit over to its buyer."""

import secrets
from collections.abc import Sequence
from uuid import UUID

from django.db import transaction

from prep.actions.people import confirm
from prep.actions.write_path import Command, Outcome, change_unit
from prep.models import Person, Recipient
from prep.record.refusal import Refusal
from prep.record.unit.commands import handovers


def hand_over(
    *,
    actor: Person,
    command: Command,
    unit: UUID,
    recipient: str,
    relation: str,
    language: str,
    shown: Sequence[str],
    manual_given: bool,
    pin: str,
    hour_meter: str = "",
    place: str = "",
    first_use: str = "own use",
) -> Outcome:
    """Hand the unit over. The recipient's name is kept beside the log, where it can be erased."""
    confirm(actor=actor, pin=pin)
    if not recipient.strip():
        raise Refusal("recipient-missing", "Say who took it over.", field="recipient")
    row = Recipient(handover=command.id, name=recipient, salt=secrets.token_hex(16))
    with transaction.atomic():
        outcome = change_unit(
            actor=actor,
            unit=unit,
            command=command,
            request=[
                "unit.hand_over",
                recipient,
                relation,
                language,
                shown,
                manual_given,
                hour_meter,
                place,
                first_use,
            ],
            decide=lambda record, context: handovers.hand_over(
                record,
                context,
                recipient_digest=row.digest(),
                relation=relation,
                language=language,
                shown=shown,
                manual_given=manual_given,
                hour_meter=hour_meter,
                place=place,
                first_use=first_use,
            ),
        )
        if not outcome.repeated:
            row.save(force_insert=True)
    return outcome
