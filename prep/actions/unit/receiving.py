"""Actions that receive a unit, note damage, and set its location in the yard."""

from collections.abc import Sequence
from uuid import UUID, uuid5

from prep.actions.write_path import Command, Outcome, change_unit, create_unit
from prep.models import Person, Unit
from prep.queries.models import model_facts
from prep.record.unit.commands import receiving
from prep.record.unit.events import Damage
from prep.rules.identity.look_alikes import look_alike_key

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
    """Receive a unit. Its id follows from the command, so a resend adds no second unit."""
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
    """Serials of the same manufacturer that are easily mistaken for this one."""
    twins = Unit.objects.filter(maker=maker.strip(), look_alike_key=key).exclude(serial=serial)
    return list(twins.values_list("serial", flat=True))


def note_damage(*, actor: Person, command: Command, unit: UUID, damage: Damage) -> Outcome:
    """Note concealed damage, found after the driver left."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["unit.note_damage", damage],
        decide=lambda record, context: receiving.note_damage(record, context, damage=damage),
    )


def place(*, actor: Person, command: Command, unit: UUID, place: str) -> Outcome:
    """Set the unit's location in the yard."""
    return change_unit(
        actor=actor,
        unit=unit,
        command=command,
        request=["unit.place", place],
        decide=lambda record, context: receiving.place(record, context, place=place),
    )
