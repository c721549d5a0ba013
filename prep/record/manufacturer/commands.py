"""Commands on the register of manufacturers: add one, correct its name and aliases."""

from collections.abc import Sequence
from typing import Annotated, ClassVar

from prep.record.command import Command, Facts, Permission
from prep.record.facts import ManufacturerFacts
from prep.record.fields import FILLED, Meta, Name, Reason
from prep.record.manufacturer.events import ManufacturerAdded, ManufacturerCorrected
from prep.record.manufacturer.names import manufacturer_named
from prep.record.needs import MANUFACTURERS
from prep.record.refusal import Refusal
from prep.record.roles import OFFICE, Context
from prep.rules.identity.look_alikes import plain_key
from prep.rules.identity.manufacturer_names import easily_mistaken

State = ManufacturerAdded | ManufacturerCorrected | None

Spelling = Annotated[str, Meta(max_length=60, pattern=FILLED, examples=["Larkfield"])]
Aliases = Annotated[tuple[Spelling, ...], Meta(max_length=20)]
Compared = Annotated[tuple[Name, ...], Meta(max_length=20)]


class AddManufacturer(Command, frozen=True, kw_only=True, tag="manufacturer.add"):
    """Add a manufacturer, spelled as its plates print it.

    Units and models are of a manufacturer of this register, named by its id, its name or an alias.
    A name that is easily mistaken for a known one is refused until you name the one it was told
    apart from in `checked_against`.
    """

    stream: ClassVar[str] = "manufacturer"
    permission: ClassVar = Permission(OFFICE)
    creates: ClassVar = True
    needs: ClassVar = (MANUFACTURERS,)
    changes: ClassVar = ("manufacturers",)

    name: Spelling
    aliases: Aliases = ()
    checked_against: Compared = ()

    @classmethod
    def guard(cls, state: State, context: Context) -> None:
        """It was not added before."""
        if state is not None:
            raise Refusal("manufacturer-known", field="name", known=state.name)

    def decide(self, state: State, context: Context, facts: Facts) -> Sequence[ManufacturerAdded]:
        """No other has one of these names, and each that is like it was compared."""
        others = facts[MANUFACTURERS]
        name, aliases = _spelled(self.name, self.aliases)
        compared = _told_apart(name, aliases, others, self.checked_against)
        return [ManufacturerAdded(name, aliases, compared)]


class CorrectManufacturer(Command, frozen=True, kw_only=True, tag="manufacturer.correct"):
    """Correct a manufacturer's name or aliases; the name it had becomes an alias.

    Units keep the name they were received under. Models have the new one from their next revision.
    """

    stream: ClassVar[str] = "manufacturer"
    permission: ClassVar = Permission(OFFICE)
    needs: ClassVar = (MANUFACTURERS,)
    changes: ClassVar = ("manufacturers",)

    name: Spelling
    aliases: Aliases = ()
    checked_against: Compared = ()
    reason: Reason

    @classmethod
    def guard(cls, state: State, context: Context) -> None:
        """It is in the register."""
        if state is None:
            raise Refusal("no-such-manufacturer-id")

    def decide(
        self, state: State, context: Context, facts: Facts
    ) -> Sequence[ManufacturerCorrected]:
        """Something changes, and no other manufacturer has one of these names."""
        assert state is not None  # the guard
        others = facts[MANUFACTURERS]
        name, aliases = _spelled(self.name, (*self.aliases, state.name))
        if (name, sorted(aliases)) == (state.name, sorted(state.aliases)):
            raise Refusal("manufacturer-unchanged")
        compared = _told_apart(name, aliases, others, self.checked_against)
        return [ManufacturerCorrected(name, aliases, self.reason, compared)]


def _spelled(name: str, aliases: Sequence[str]) -> tuple[str, tuple[str, ...]]:
    """The name without needless spaces, and the aliases that differ from it and one another."""
    named = " ".join(name.split())
    if not plain_key(named):
        raise Refusal("manufacturer-unreadable", field="name")
    by_key: dict[str, str] = {}
    for alias in aliases:
        by_key.setdefault(plain_key(alias), " ".join(alias.split()))
    further = [alias for key, alias in by_key.items() if key not in {"", plain_key(named)}]
    return named, tuple(further)


def _told_apart(
    name: str, aliases: Sequence[str], others: Sequence[ManufacturerFacts], compared: Sequence[str]
) -> tuple[str, ...]:
    """The names that are like this one and were compared with it.

    Refusal where another manufacturer has one of these names, or one that is like it and was not
    compared.
    """
    for field, spelling in (("name", name), *(("aliases", alias) for alias in aliases)):
        if taken := manufacturer_named(spelling, others):
            raise Refusal("manufacturer-known", field=field, known=taken.name)
    alike = easily_mistaken(name, [one for other in others for one in other.spellings])
    unchecked = [one for one in alike if one not in compared]
    if unchecked:
        raise Refusal("manufacturer-alike", field="checked_against", name=name, alike=unchecked)
    return alike
