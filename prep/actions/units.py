"""Units: receiving, assigning, holding, releasing, handing over."""

import secrets
from collections.abc import Sequence
from uuid import UUID, uuid5

from django.db import transaction

from prep.actions.people import confirm
from prep.actions.writing import Command, Outcome, change_unit, create_unit
from prep.models import Person, Recipient, Unit
from prep.queries.shop import model_facts
from prep.record import assigning, receiving, releasing
from prep.record.events import Damage
from prep.record.refusal import Refusal
from prep.rules.identity import look_alike_key

UNIT_NAMES = UUID("6f1d2f6a-7a0e-4b5e-9c1b-0f6f3a1d5b11")


def receive(
    *,
    actor: Person,
    command: Command,
    site: str,
    maker: str,
    serial: str,
    plate: str = "",
    papers: str = "",
    model: str = "",
    options: Sequence[str] = (),
    damage: Sequence[Damage] = (),
    place: str = "",
    note: str = "",
    checked_against: Sequence[str] = (),
) -> Outcome:
    """A unit comes off the truck; its id follows from the command, so a resend finds it."""
    facts = model_facts(model) if model else None
    key = look_alike_key(serial)
    return create_unit(
        actor=actor,
        unit=uuid5(UNIT_NAMES, str(command.id)),
        site=site,
        look_alike_key=key,
        command=command,
        request=[
            "unit.receive",
            site,
            maker,
            serial,
            plate,
            papers,
            model,
            options,
            damage,
            place,
            note,
            checked_against,
        ],
        decide=lambda record, context: receiving.receive(
            record,
            context,
            maker=maker,
            serial=serial,
            plate=plate,
            papers=papers,
            model=facts,
            options=options,
            damage=damage,
            place=place,
            note=note,
            look_alikes=_look_alikes(maker, serial, key),
            checked_against=checked_against,
        ),
    )


def _look_alikes(maker: str, serial: str, key: str) -> list[str]:
    """Serials of the maker that a glance takes for this one."""
    twins = Unit.objects.filter(maker=maker.strip(), look_alike_key=key).exclude(serial=serial)
    return list(twins.values_list("serial", flat=True))


def note_damage(*, actor: Person, command: Command, unit: UUID, damage: Damage) -> Outcome:
    """Concealed damage, found after the driver left."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["unit.note_damage", damage],
        decide=lambda record, context: receiving.note_damage(record, context, damage=damage),
    )


def place(*, actor: Person, command: Command, unit: UUID, place: str) -> Outcome:
    """The unit was moved in the yard."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["unit.place", place],
        decide=lambda record, context: receiving.place(record, context, place=place),
    )


def assign_model(
    *, actor: Person, command: Command, unit: UUID, model: str, options: Sequence[str] = ()
) -> Outcome:
    """Say which model the unit is."""
    facts = model_facts(model)
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["unit.assign_model", model, options],
        decide=lambda record, context: assigning.assign_model(
            record, context, model=facts, options=options
        ),
    )


def hold(*, actor: Person, command: Command, unit: UUID, reason: str) -> Outcome:
    """Stop work."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["unit.hold", reason],
        decide=lambda record, context: releasing.hold(record, context, reason=reason),
    )


def resume(*, actor: Person, command: Command, unit: UUID, note: str = "") -> Outcome:
    """Let work go on."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["unit.resume", note],
        decide=lambda record, context: releasing.resume(record, context, note=note),
    )


def release(*, actor: Person, command: Command, unit: UUID, seen: str, pin: str) -> Outcome:
    """The service manager makes the unit deliverable."""
    confirm(actor=actor, pin=pin)
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["unit.release", seen],
        decide=lambda record, context: releasing.release(record, context, seen=seen),
    )


def reopen(
    *, actor: Person, command: Command, unit: UUID, reason: str, steps: Sequence[str] = ()
) -> Outcome:
    """The service manager withdraws a release."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["unit.reopen", reason, steps],
        decide=lambda record, context: releasing.reopen(
            record, context, reason=reason, steps=steps
        ),
    )


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
    """The buyer takes the machine. The recipient's name is kept beside the log, erasable."""
    confirm(actor=actor, pin=pin)
    if not recipient.strip():
        raise Refusal("recipient-missing", "Say who took it over.", field="recipient")
    kept = Recipient(handover=command.id, name=recipient, salt=secrets.token_hex(16))
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
            decide=lambda record, context: releasing.hand_over(
                record,
                context,
                recipient_digest=kept.digest(),
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
            kept.save(force_insert=True)
    return outcome
