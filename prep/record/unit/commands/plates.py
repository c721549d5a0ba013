"""Commands on the plate of a unit: keep a photo of it, and correct what was misread."""

from collections.abc import Sequence
from copy import copy
from typing import Annotated, ClassVar, Final

from prep.record.command import Facts, Permission
from prep.record.facts import ManufacturerFacts
from prep.record.fields import Meta, Name, Note, Pin, Reason, Serial
from prep.record.needs import MAKER, PICTURE, PLATES, WORDING
from prep.record.refusal import Refusal
from prep.record.roles import MANAGER, Context
from prep.record.unit import events as e
from prep.record.unit.commands.photos import photo_attached
from prep.record.unit.commands.receiving import (
    RECEIVERS,
    check_serial,
    compared,
    plate_flags,
)
from prep.record.unit.events.identity import PlateCorrected
from prep.record.unit.flag_facts import Closing, Origin
from prep.record.unit.guards import fits, received
from prep.record.unit.state import Record
from prep.record.unit.unit_command import UnitCommand

# Flags that compare the plate with something else.
OF_THE_PLATE: Final = frozenset({Origin.PAPERS, Origin.SERIAL_SCHEME, Origin.LOOKED_UP})

PlatePhoto = Annotated[
    str,
    Meta(
        min_length=1,
        max_length=60,
        examples=["5f0c7d0e-8a53-4f0e-9b5a-3d6a2f6f0f11"],
        extra={"choose": "plate-photo"},
    ),
]


class AttachPlate(UnitCommand, frozen=True, kw_only=True, tag="plate.attach"):
    """Attach a photo of the unit's plate, also after the handover."""

    permission: ClassVar = Permission(RECEIVERS)
    attachment: ClassVar = "photo"
    needs: ClassVar = (PICTURE,)

    note: Note = ""

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """The unit was received."""
        received(state)

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The file itself is kept beside the log; the event holds its digests."""
        return [photo_attached(facts[PICTURE], self.note, of_plate=True)]


class CorrectPlate(UnitCommand, frozen=True, kw_only=True, tag="plate.correct"):
    """Correct the serial number or the manufacturer of a unit whose plate was misread.

    `photo` is a photo of the plate, attached before; `maker` is left out where it was right. What
    was read before stays on record and finds the unit. A plate that another unit has is refused.
    Certificate, labels and registration issued under the misread plate are replaced. Where the
    procedure is not for the serial number, the release ends and the unit is not ready.
    """

    permission: ClassVar = Permission(MANAGER)
    needs: ClassVar = (MAKER, PLATES, WORDING)
    changes: ClassVar = ("serials",)
    must_match: ClassVar = True

    serial: Serial
    maker: Annotated[str, Meta(max_length=60, extra={"choose": "maker"})] = ""
    plate: Name = ""
    photo: PlatePhoto
    checked_against: Annotated[tuple[Name, ...], Meta(max_length=50)] = ()
    reason: Reason
    pin: Pin

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """The unit was received; a plate may turn out misread after the handover, too."""
        received(state)

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """It is another plate than before, on no other record, and there is a photo of it."""
        maker = facts[MAKER]
        check_serial(self.serial)
        self._check_changes(state, maker)
        if same := facts[PLATES].same:
            raise Refusal("plate-taken", field="serial", unit=same.unit, serial=same.serial)
        look_alikes = compared(self.serial, facts[PLATES], self.checked_against)
        photo = _photo(state, self.photo)
        corrected = PlateCorrected(
            maker=maker.name,
            manufacturer=maker.id,
            serial=self.serial,
            plate=self.plate or self.serial,
            was_maker=state.maker,
            was_serial=state.serial,
            look_alikes=look_alikes,
            reason=self.reason,
            photo=photo.photo,
            digest=photo.digest,
            wording=facts[WORDING],
        )
        return [corrected, *self._flags(state, context), *self._release(state)]

    def _check_changes(self, state: Record, maker: ManufacturerFacts) -> None:
        plate = self.plate or self.serial
        if (state.manufacturer, state.serial, state.plate) == (maker.id, self.serial, plate):
            raise Refusal("plate-unchanged", field="serial", serial=self.serial)

    def _flags(self, state: Record, context: Context) -> list[e.Event]:
        """Flags on the misread plate are closed; those the right one calls for are raised."""
        closed: list[e.Event] = [
            e.FlagClosed(flag.id, Closing.PLATE_CORRECTED.value)
            for flag in state.open_flags()
            if flag.about.origin in OF_THE_PLATE
        ]
        if state.handover:
            return closed
        raised = plate_flags(context, state.papers, self.serial, state.model)
        return [*closed, *raised, *self._looked_up(state, context)]

    def _looked_up(self, state: Record, context: Context) -> list[e.Event]:
        """A flag where work had begun: what was looked up then was of another machine.

        A release that stands was signed with the number; whoever corrects it is told instead.
        """
        if state.sheet_started is None or state.release or self.serial == state.serial:
            return []
        return [e.FlagRaised(f"{context.command}-looked-up", Origin.LOOKED_UP.value)]

    def _release(self, state: Record) -> list[e.Event]:
        """A release by a procedure that is not for this serial number ends."""
        after = copy(state)
        after.serial = self.serial
        if state.release is None or state.handover or fits(after):
            return []
        return [e.Reopened(self.reason, ())]


def plate_photos(state: Record) -> list[e.PhotoAttached]:
    """Photos of the plate that a correction can rest on, the newest first."""
    return [photo for photo, _ in reversed(state.photos) if photo.of_plate]


def _photo(state: Record, wanted: str) -> e.PhotoAttached:
    for photo in plate_photos(state):
        if photo.photo == wanted:
            return photo
    raise Refusal("no-plate-photo", field="photo")
