"""Commands that receive a unit, note damage, and set its location in the yard."""

from collections.abc import Sequence
from typing import Annotated, ClassVar, Final

import msgspec

from prep.record.command import Facts, Permission
from prep.record.facts import Damage, ModelFacts
from prep.record.fields import (
    FILLED,
    Code,
    Count,
    Manufacturer,
    Meta,
    Name,
    Note,
    Serial,
    Short,
    SiteCode,
)
from prep.record.needs import FIRST_OF_SHIPMENT, MAKER, MODEL, PLATES, Plates
from prep.record.phrases import KeptPhrase, kept
from prep.record.refusal import Refusal
from prep.record.roles import SERVICE, Context, Role
from prep.record.unit import events as e
from prep.record.unit.flag_facts import Origin
from prep.record.unit.guards import not_finished, received
from prep.record.unit.state import Record
from prep.record.unit.unit_command import UnitCommand
from prep.rules.catalog.catalog import RuleRefusal
from prep.rules.identity.look_alikes import plain_key
from prep.rules.identity.serial_schemes import scheme_from

LONGEST_KEY: Final = 60  # of the column; a character may be written out as several
RECEIVERS: Final = SERVICE | {Role.ADMINISTRATOR}


class ArrivalDamage(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Damage: what, where, how many, and whether the bill of lading notes it."""

    what: Annotated[str, Meta(max_length=200, pattern=FILLED, examples=["Bent tail guard"])]
    where: Annotated[str, Meta(max_length=200, pattern=FILLED, examples=["left wing"])]
    count: Count = 1
    on_carrier_paper: bool = False

    def damage(self) -> Damage:
        """The damage as the record keeps it."""
        return Damage(self.what, self.where, self.count, self.on_carrier_paper)


class ReceiveUnit(UnitCommand, frozen=True, kw_only=True, tag="unit.receive"):
    """Receive a unit, with the serial exactly as on its plate and the damage found on arrival.

    `maker` is a manufacturer of the register: its id, its name or an alias. Damage raises a flag,
    and so does a serial that differs from the shipping papers or does not match the model's
    pattern. A serial already here is refused however it is spelled. One that looks like another
    already here is refused until you compare the plates and name the serials compared in
    `checked_against`.
    """

    permission: ClassVar = Permission(RECEIVERS)
    creates: ClassVar = True
    needs: ClassVar = (MAKER, MODEL, PLATES, FIRST_OF_SHIPMENT)
    changes: ClassVar = ("serials",)

    site: SiteCode
    maker: Manufacturer
    serial: Serial
    plate: Name = ""
    papers: Name = ""
    model: Annotated[str, Meta(max_length=60, extra={"choose": "model"})] = ""
    options: Annotated[tuple[Code, ...], Meta(max_length=50)] = ()
    damage: Annotated[tuple[ArrivalDamage, ...], Meta(max_length=50)] = ()
    place: Short = ""
    note: Note = ""
    checked_against: Annotated[tuple[Name, ...], Meta(max_length=50)] = ()

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """The unit was not received before."""
        if state.received:
            raise Refusal("already-received", unit="", serial=state.serial)

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The plate can be read, is on no other record, and each like it was compared."""
        maker, model = facts[MAKER], facts[MODEL]
        check_serial(self.serial)
        if same := facts[PLATES].same:
            raise Refusal("already-received", field="serial", unit=same.unit, serial=same.serial)
        look_alikes = compared(self.serial, facts[PLATES], self.checked_against)
        check_model(model, self.options, maker.id, maker.name)
        arrived = e.Received(
            maker=maker.name,
            manufacturer=maker.id,
            serial=self.serial,
            plate=self.plate or self.serial,
            papers=self.papers,
            model=model,
            options=self.options,
            damage=tuple(damage.damage() for damage in self.damage),
            look_alikes=look_alikes,
            place=self.place,
            note=self.note,
            first_of_shipment=facts[FIRST_OF_SHIPMENT],
        )
        return [arrived, *_receiving_flags(context, arrived)]


def check_serial(serial: str) -> None:
    """Refuse a serial number that nobody could read off a plate."""
    key = plain_key(serial)
    if serial != serial.strip() or not serial.isprintable() or not 0 < len(key) <= LONGEST_KEY:
        raise Refusal("serial-unreadable", field="serial")


def compared(serial: str, plates: Plates, checked_against: Sequence[str]) -> tuple[str, ...]:
    """The serials that look like this one; Refusal unless each of them was compared with it."""
    look_alikes = set(plates.look_alikes)
    if unchecked := sorted(look_alikes - set(checked_against)):
        raise Refusal("look-alike", field="checked_against", serial=serial, look_alikes=unchecked)
    return tuple(sorted(look_alikes))


def check_model(
    model: ModelFacts | None, options: Sequence[str], manufacturer: str, on_plate: str
) -> None:
    """Refuse a model of another manufacturer than the plate names, and options it does not have."""
    if model is None:
        return
    if model.manufacturer != manufacturer:
        raise Refusal(
            "other-maker",
            field="model",
            model=model.name,
            manufacturer=model.maker,
            on_plate=on_plate,
        )
    if unknown := sorted(set(options) - set(model.options)):
        raise Refusal(
            "unknown-option",
            field="options",
            model=model.name,
            unknown=unknown,
            options=model.options,
        )


def _receiving_flags(context: Context, arrived: e.Received) -> list[e.Event]:
    flags = plate_flags(context, arrived.papers, arrived.serial, arrived.model)
    for number, damage in enumerate(arrived.damage, 1):
        flags.append(_damage_flag(f"{context.command}-damage-{number}", damage))
    return flags


def plate_flags(
    context: Context, papers: str, serial: str, model: ModelFacts | None
) -> list[e.Event]:
    """Flags of a plate that differs from the papers, or does not look like one of the model."""
    flags: list[e.Event] = []
    if papers and papers != serial:
        flags.append(e.FlagRaised(f"{context.command}-papers", Origin.PAPERS.value))
    if misread := _misread(serial, model):
        flags.append(
            e.FlagRaised(f"{context.command}-scheme", Origin.SERIAL_SCHEME.value, phrase=misread)
        )
    return flags


def _misread(serial: str, model: ModelFacts | None) -> KeptPhrase | None:
    """What is wrong with a serial by its model's scheme; catches misread plates."""
    if model is None or not model.serial_scheme:
        return None
    try:
        scheme_from(model.serial_scheme).read(serial)
    except RuleRefusal as odd:
        return kept(odd.phrase)
    return None


def _damage_flag(flag: str, damage: Damage) -> e.FlagRaised:
    return e.FlagRaised(flag, Origin.DAMAGE.value, damage=damage)


class NoteDamage(UnitCommand, frozen=True, kw_only=True, tag="damage.note"):
    """Note damage found after the driver left (concealed damage); raises a flag."""

    permission: ClassVar = Permission(RECEIVERS)
    by_author: ClassVar = True

    damage: ArrivalDamage

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """The unit is not released."""
        not_finished(state)
        if state.release:
            raise Refusal("released")

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The damage is on record and flagged."""
        damage = self.damage.damage()
        return [e.DamageNoted(damage), _damage_flag(f"{context.command}-damage", damage)]


class SetLocation(UnitCommand, frozen=True, kw_only=True, tag="location.set"):
    """Set a unit's location in the yard."""

    permission: ClassVar = Permission(RECEIVERS | {Role.SALES})
    by_author: ClassVar = True

    place: Annotated[Short, Meta(examples=["Row C, bay 4"])]

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """The unit was received; one handed over may come back to the yard."""
        received(state)

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The location is another than before."""
        if self.place == state.place:
            if not self.place:
                raise Refusal("no-location")
            raise Refusal("already-there", place=self.place)
        return [e.Placed(self.place)]
