"""The permission table over HTTP."""

from tests.api.client import Api
from tests.cast import Yard


def test_everybody_sees_who_may_do_what(api: Api, yard: Yard) -> None:
    """Roles and signatures by command, read and document; titles in the reader's language."""
    items = api.get("permissions", yard.ada).body["items"]
    by_name = {item["name"]: item for item in items}
    assert by_name["unit.release"] == {
        "sort": "command",
        "name": "unit.release",
        "title": "Release",
        "roles": ["service manager"],
        "signed": True,
        "own": False,
    }
    assert by_name["buyer.view"]["roles"] == [
        "administrator",
        "auditor",
        "sales",
        "service manager",
    ]
    assert (by_name["person.prefer"]["roles"], by_name["person.prefer"]["own"]) == ([], True)
    assert by_name["certificate"]["title"] == "Delivery certificate"
    assert "document.issue" not in by_name


def test_nobody_without_a_token_sees_the_table(api: Api) -> None:
    """It tells how the dealership works."""
    assert api.send("GET", "permissions", headers={}, anonymous=True).status == 401
