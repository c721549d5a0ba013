"""The register of manufacturers: one entry for each, whatever spellings people use."""

from uuid import UUID

from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.models import Event, MachineModel, Manufacturer, Unit
from prep.queries.manufacturers import manufacturer
from prep.record.manufacturer.commands import AddManufacturer, CorrectManufacturer
from prep.record.model.commands import PublishModel
from prep.record.unit.commands.models import AssignModel
from prep.record.unit.commands.receiving import ReceiveUnit
from prep.words.reader import ENGLISH
from prep.words.refusals import refusal_text
from tests.cast import DOCUMENTS, Yard
from tests.refusals import refused


def add(yard: Yard, name: str, **more: object) -> UUID:
    """Otto adds a manufacturer to the list."""
    return UUID(perform(AddManufacturer(name=name, **more), actor=yard.otto).target)  # type: ignore[arg-type]


def receive(yard: Yard, maker: str, serial: str = "PX1") -> UUID:
    """Ada receives a unit of a manufacturer, as she spells it."""
    return perform(ReceiveUnit(site="north", maker=maker, serial=serial), actor=yard.ada).unit


def test_a_unit_keeps_the_reference_and_the_name_as_printed(yard: Yard) -> None:
    """However it was spelled: by id, by name, by an alias, in capitals, with a dot too many."""
    maker = add(yard, "Px. Works", aliases=["PXW"])
    typed = [str(maker), "Px. Works", "px works", "P.X. WORKS", " pxw "]
    for number, text in enumerate(typed):
        unit = Unit.objects.get(pk=receive(yard, text, f"PX{number}"))
        assert (unit.maker, unit.manufacturer) == ("Px. Works", str(maker))


def test_an_unknown_manufacturer_is_refused_with_the_nearest_known(yard: Yard) -> None:
    """Nothing is received, and the list does not grow by a typing mistake."""
    no = refused("no-such-manufacturer", receive, yard, "Larkfeild")
    assert no.field == "maker"
    assert no.details["closest"][0] == "Larkfield"
    assert refusal_text(no, ENGLISH).startswith("“Larkfeild” is not in the list of manufacturers.")
    assert not Unit.objects.exists()
    assert not Manufacturer.objects.filter(name="Larkfeild").exists()


def test_a_model_of_an_unknown_manufacturer_is_not_published(yard: Yard) -> None:
    """The same question is asked of its document; one that is known may be spelled freely."""
    text = (DOCUMENTS / "model.yaml").read_text().replace("revision: 1", "revision: 2", 1)
    wrong = text.replace("maker: Larkfield", "maker: Larkfeld")
    no = refused("document-unfit", perform, PublishModel(document=wrong), actor=yard.otto)
    (problem,) = no.details["problems"]
    assert (problem.code, problem.allowed[0]) == ("manufacturer-unknown", "Larkfield")
    loud = text.replace("maker: Larkfield", "maker: LARKFIELD")
    perform(PublishModel(document=loud), actor=yard.otto)
    row = MachineModel.objects.get(pk="TC-12")
    assert (row.maker, row.manufacturer) == ("Larkfield", manufacturer("Larkfield").id)


def test_one_name_is_not_added_twice(yard: Yard) -> None:
    """Neither as a name nor as an alias, in whatever capitals."""
    refused("manufacturer-known", add, yard, "LARK-FIELD")
    refused("manufacturer-known", add, yard, "Px Works", aliases=["lark field"])
    add(yard, "Px Works", aliases=["PXW"])
    no = refused("manufacturer-known", add, yard, "pxw")
    assert no.details == {"known": "Px Works"}
    refused("manufacturer-unreadable", add, yard, " - ")


def test_a_name_like_a_known_one_is_told_apart_first(yard: Yard) -> None:
    """The names compared are on record."""
    no = refused("manufacturer-alike", add, yard, "Larkfeld")
    assert no.details["alike"] == ["Larkfield"]
    maker = add(yard, "Larkfeld", checked_against=["Larkfield"])
    event = Event.objects.get(stream="manufacturer", stream_id=str(maker))
    assert '"compared":["Larkfield"]' in event.body


def test_a_corrected_name_counts_from_now_on(yard: Yard) -> None:
    """What was received keeps the name it had; the earlier spelling still finds the entry."""
    maker = add(yard, "Px Wroks")
    before = receive(yard, "Px Wroks", "PX1")
    correct = CorrectManufacturer(name="Px Works", reason="Misspelled")
    perform(correct, actor=yard.mira, target=maker)
    after = receive(yard, "px wroks", "PX2")
    assert Unit.objects.get(pk=before).maker == "Px Wroks"
    assert Unit.objects.get(pk=after).maker == "Px Works"
    refused("already-received", receive, yard, "Px Works", "PX-1")
    same = CorrectManufacturer(name="Px Works", aliases=("Px Wroks",), reason="again")
    refused("manufacturer-unchanged", perform, same, actor=yard.mira, target=maker)
    taken = CorrectManufacturer(name="Larkfield", reason="no")
    refused("manufacturer-known", perform, taken, actor=yard.mira, target=maker)
    nobody = CorrectManufacturer(name="Larkfield", reason="no")
    refused("no-such-manufacturer-id", perform, nobody, actor=yard.mira, target=UUID(int=5))


def test_sent_again_it_adds_no_second_one(yard: Yard) -> None:
    """By the id of the command."""
    once = Submission()
    first = perform(AddManufacturer(name="Px Works"), actor=yard.otto, submission=once)
    again = perform(AddManufacturer(name="Px Works"), actor=yard.otto, submission=once)
    assert (again.target, again.repeated) == (first.target, True)


def test_receiving_and_setting_the_model_agree_on_whose_model_it_is(yard: Yard) -> None:
    """A model of another manufacturer than the plate's is refused at both doors."""
    other = ReceiveUnit(site="north", maker="Hollowfold", serial="H1", model="TC-12")
    at_once = refused("other-maker", perform, other, actor=yard.ada)
    unit = receive(yard, "Hollowfold", "H1")
    later = refused("other-maker", perform, AssignModel(model="TC-12"), actor=yard.ada, target=unit)
    assert at_once.details == later.details
    assert later.details["on_plate"] == "Hollowfold"
