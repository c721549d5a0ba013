"""Commands that receive a unit, note damage, and set its location in the yard."""

from collections.abc import Sequence

from prep.record.facts import ModelFacts
from prep.record.refusal import Refusal
from prep.record.roles import SERVICE, Context, Role, require
from prep.record.unit import events as e
from prep.record.unit.guards import not_finished
from prep.record.unit.state import Record
from prep.rules.catalog.catalog import RuleRefusal
from prep.rules.identity.serial_schemes import scheme_from

RECEIVERS = SERVICE | {Role.ADMINISTRATOR}
LONGEST_SERIAL = 60


def receive(
    record: Record,
    context: Context,
    *,
    maker: str,
    serial: str,
    plate: str = "",
    papers: str = "",
    model: ModelFacts | None = None,
    options: Sequence[str] = (),
    damage: Sequence[e.Damage] = (),
    place: str = "",
    note: str = "",
    look_alikes: Sequence[str] = (),
    checked_against: Sequence[str] = (),
) -> list[e.Event]:
    """Receive a unit, with the damage found on arrival.

    `look_alikes` are serials of the same manufacturer that are easily mistaken for this one; the
    receiver confirms that each was compared by naming it in `checked_against`. Each damage raises
    a flag, and so does a serial that differs from the shipping papers or from the model's scheme.
    """
    require(context, RECEIVERS, "receive units")
    if record.received:
        raise Refusal("already-received", "This unit is already received. Open it instead.")
    _check_identity(maker, serial)
    _check_look_alikes(serial, look_alikes, checked_against)
    check_options(model, options)
    received = e.Received(
        maker=maker.strip(),
        serial=serial,
        plate=plate or serial,
        papers=papers,
        model=model,
        options=tuple(options),
        damage=tuple(damage),
        look_alikes=tuple(sorted(set(look_alikes))),
        place=place,
        note=note,
    )
    return [received, *_receiving_flags(context, received)]


def _check_identity(maker: str, serial: str) -> None:
    if not maker.strip():
        raise Refusal("maker-missing", "Say who made the unit.", field="maker")
    if not serial.strip():
        raise Refusal(
            "serial-missing", "Type the serial as it stands on the plate.", field="serial"
        )
    if serial != serial.strip() or len(serial) > LONGEST_SERIAL or not serial.isprintable():
        raise Refusal(
            "serial-unreadable",
            "Type the serial exactly as on the plate, without spaces before or after it, "
            f"at most {LONGEST_SERIAL} characters.",
            field="serial",
        )


def _check_look_alikes(
    serial: str, look_alikes: Sequence[str], checked_against: Sequence[str]
) -> None:
    unchecked = sorted(set(look_alikes) - set(checked_against))
    if unchecked:
        raise Refusal(
            "look-alike",
            f"Serial {serial} looks like {', '.join(unchecked)}, already here. Compare the plates, "
            "then receive again naming the serials you compared.",
            field="checked_against",
            look_alikes=unchecked,
        )


def check_options(model: ModelFacts | None, options: Sequence[str]) -> None:
    """Refuse options that the model does not have."""
    unknown = sorted(set(options) - set(model.options)) if model else []
    if model and unknown:
        listed = ", ".join(model.options) or "none"
        raise Refusal(
            "unknown-option",
            f"{model.name} has no option {', '.join(unknown)}. Its options: {listed}.",
            field="options",
        )


def _receiving_flags(context: Context, received: e.Received) -> list[e.Event]:
    flags: list[e.Event] = []
    if received.papers and received.papers != received.serial:
        text = f"The plate says {received.serial}, the papers say {received.papers}."
        flags.append(e.FlagRaised(f"{context.command}-papers", "identity", text))
    complaint = _scheme_complaint(received)
    if complaint:
        flags.append(e.FlagRaised(f"{context.command}-scheme", "identity", complaint))
    for number, damage in enumerate(received.damage, 1):
        flags.append(_damage_flag(f"{context.command}-damage-{number}", damage))
    return flags


def _scheme_complaint(received: e.Received) -> str:
    """What is wrong with a serial by its model's scheme, or empty; catches misread plates."""
    if received.model is None or not received.model.serial_scheme:
        return ""
    try:
        scheme_from(received.model.serial_scheme).read(received.serial)
    except RuleRefusal as odd:
        return f"Serial {received.serial} does not look like one of this model. {odd.phrase}"
    return ""


def _damage_flag(flag: str, damage: e.Damage) -> e.FlagRaised:
    count = f" ({damage.count})" if damage.count != 1 else ""
    not_noted = "" if damage.on_carrier_paper else " Not on the carrier's paper."
    return e.FlagRaised(flag, "damage", f"{damage.what}, {damage.where}{count}.{not_noted}")


def note_damage(record: Record, context: Context, *, damage: e.Damage) -> list[e.Event]:
    """Note damage found after receiving; raises a flag."""
    require(context, RECEIVERS, "note damage")
    not_finished(record)
    _check_unreleased(record)
    if not damage.what.strip() or not damage.where.strip() or damage.count < 1:
        raise Refusal("damage-unclear", "Say what is damaged, where, and how many.", field="damage")
    return [e.DamageNoted(damage), _damage_flag(f"{context.command}-damage", damage)]


def _check_unreleased(record: Record) -> None:
    if record.release:
        raise Refusal(
            "released", "This unit is released. Re-open it with the damage as the reason."
        )


def place(record: Record, context: Context, *, place: str) -> list[e.Event]:
    """Set the unit's location in the yard."""
    require(context, RECEIVERS | {Role.SALES}, "move units")
    if record.received is None:
        raise Refusal("not-received", "This unit has not been received yet. Receive it first.")
    if place == record.place:
        raise Refusal("already-there", f"The unit already stands at {place or 'no place'}.")
    return [e.Placed(place)]
