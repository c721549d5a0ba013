"""The pages of the list of manufacturers, and receiving from that list."""

from typing import Any

from prep.models import Manufacturer
from prep.queries.manufacturers import manufacturer
from tests.cast import Yard
from tests.pages.visitor import Enter, post


def test_the_manager_adds_a_manufacturer_and_corrects_its_name(yard: Yard, enter: Enter) -> None:
    """A form each; the list shows the other spellings."""
    client = enter(yard.mira)
    post(client, "/manufacturers/add/", name="Px Wroks", aliases="PXW, Px")
    key = Manufacturer.objects.get(name="Px Wroks").pk
    path = f"/manufacturers/{key}/correct/"
    assert 'value="Px Wroks"' in client.get(path).content.decode()
    again = post(client, path, 409, name="Larkfield", reason="no")
    assert "This is Larkfield, already in the list" in again
    post(client, path, name="Px Works", aliases="PXW", reason="Misspelled")
    page = client.get("/manufacturers/").content.decode()
    assert "<h2>Px Works</h2>" in page
    assert "Also found as PXW, Px Wroks" in page
    assert client.get(f"/manufacturers/{yard.buyer().pk}/correct/").status_code == 404


def test_a_technician_sees_the_list_and_changes_nothing(yard: Yard, enter: Enter) -> None:
    """There is no button, and the address of the form is none for them."""
    client = enter(yard.ada)
    page = client.get("/manufacturers/").content.decode()
    assert "Larkfield" in page
    assert "manufacturers/add" not in page
    assert client.get("/manufacturers/add/").status_code == 404
    assert client.post("/manufacturers/add/", {"name": "Px Works"}).status_code == 404
    assert not Manufacturer.objects.filter(name="Px Works").exists()


def test_receiving_offers_the_list_and_names_the_nearest(yard: Yard, enter: Enter) -> None:
    """What was typed stays; only whoever may add a manufacturer is led there."""
    client = enter(yard.ada)
    form: dict[str, Any] = {"site": "north", "maker": "Larkfeild", "serial": "TC100", "model": ""}
    page = post(client, "/receive", 409, **form)
    assert "<option>Larkfield</option>" in page
    assert "Choose Larkfield or Hollowfold" in page
    assert "manufacturers/add" not in page
    assert "manufacturers/add" in enter(yard.mira).get("/receive").content.decode()
    post(client, "/receive", **{**form, "maker": manufacturer("Larkfield").id})


def test_a_plate_on_record_leads_to_its_unit(yard: Yard, enter: Enter) -> None:
    """A link beside the refusal."""
    unit = yard.receive("TC100")
    form: dict[str, Any] = {"site": "north", "maker": "Larkfield", "serial": "tc-100"}
    page = post(enter(yard.ada), "/receive", 409, **form)
    assert "already on record, as serial number TC100" in page
    assert f'href="/units/{unit}/"' in page
