"""Lists over HTTP: pages, counts, fields, files, and what has not changed."""

from typing import Any

import pytest

from reports.lists.all_lists import LISTS
from tests.api.client import Api
from tests.cast import Yard
from tests.queries.listing.yards import with_a_few


@pytest.mark.parametrize("name", sorted(LISTS))
def test_following_next_gives_every_row_once(api: Api, yard: Yard, name: str) -> None:
    """The schema holds each answer to its shape; `Link` says the same address."""
    with_a_few(yard)
    whole = api.get(f"{name}?count=true&limit=200", yard.otto).body
    address, seen = f"{name}?limit=2", []
    while address:
        answer = api.get(address, yard.otto)
        seen += answer.body["items"]
        following = answer.body["next"]
        assert answer.headers.get("Link") == (f'<{following}>; rel="next"' if following else None)
        address = following.split("/api/v1/")[1] if following else ""
    assert seen == whole["items"]
    assert len(seen) == whole["total"]


def test_only_the_fields_asked_for_are_sent(api: Api, yard: Yard) -> None:
    """A phone in the yard has a poor signal."""
    with_a_few(yard)
    answer = api.get("units?fields=serial,state&order=serial&limit=1", yard.sol)
    assert answer.body["items"] == [{"serial": "TC00001", "state": "handed-over"}]


def test_a_page_that_has_not_changed_is_not_sent_again(api: Api, yard: Yard) -> None:
    """304 with the tag of the page; once a unit has come, the page."""
    with_a_few(yard)
    tag = api.get("units", yard.sol).headers["ETag"]
    again = api.get("units", yard.sol, **{"If-None-Match": tag})
    assert (again.status, again.content) == (304, b"")
    yard.receive()
    assert api.get("units", yard.sol, **{"If-None-Match": tag}).status == 200


def test_the_first_reason_and_how_many_there_are_stand_in_the_row(api: Api, yard: Yard) -> None:
    """All of them are at the unit's readiness."""
    unit = yard.started()
    row = api.get("units", yard.sol).body["items"][0]
    all_of_them = api.get(f"units/{unit}/readiness", yard.sol).body["readiness"]["reasons"]
    assert row["reason_count"] == len(all_of_them)
    assert row["first_reason"] == {
        "code": all_of_them[0]["code"],
        "text": all_of_them[0]["text"],
    }


@pytest.mark.parametrize(
    ("ending", "begins"), [("csv", b"\xef\xbb\xbf"), ("xlsx", b"PK"), ("jsonl", b"{")]
)
def test_a_list_comes_whole_as_a_file(api: Api, yard: Yard, ending: str, begins: bytes) -> None:
    """With its name and its type."""
    with_a_few(yard)
    answer = api.get(f"units?export={ending}", yard.sol)
    assert answer.content.startswith(begins)
    assert answer.headers["Content-Disposition"] == f'attachment; filename="units.{ending}"'


@pytest.mark.parametrize(
    ("query", "status", "code"),
    [
        ("limit=0", 400, "page-size-unfit"),
        ("limit=0.5", 400, "page-size-unfit"),
        ("limit=201", 400, "page-size-unfit"),
        ("limit=99999999999", 400, "page-size-unfit"),
        ("limit=null", 400, "page-size-unfit"),
        ("cursor=null", 400, "cursor-unfit"),
        ("count=yes", 422, "not-a-choice"),
        ("export=pdf", 400, "no-such-format"),
        ("colour=red", 400, "no-such-filter"),
        ("fields=colour", 400, "no-such-field"),
        ("order=colour", 400, "no-such-order"),
        ("state=in-preparation&state=received", 400, "parameter-repeated"),
        ("q=%00", 400, "parameter-unfit"),
        ("sold=null", 422, "not-a-choice"),
    ],
)
def test_bad_queries_are_refused_in_words(
    api: Api, yard: Yard, query: str, status: int, code: str
) -> None:
    """Each says what is wrong and what is known instead."""
    answer: Any = api.get(f"units?{query}", yard.sol)
    assert (answer.status, answer.code) == (status, code)
    assert answer.body["detail"].endswith(".")


def test_a_list_of_what_somebody_may_not_see_is_refused(api: Api, yard: Yard) -> None:
    """Nothing of it is told, not even how many."""
    answer = api.get("buyers?count=true", yard.ada)
    assert (answer.status, answer.code) == (403, "not-allowed")


def test_a_list_is_sent_compressed_to_whoever_takes_it_so(api: Api, yard: Yard) -> None:
    """Its tag is weak, so that it stays the same; a unit's own tag is strong, and is left alone."""
    units = with_a_few(yard)
    plain = api.get("units", yard.sol)
    packed = api.send("GET", "units", yard.sol, headers={"Accept-Encoding": "gzip"})
    assert packed.headers["Content-Encoding"] == "gzip"
    assert packed.content == plain.content
    assert packed.headers["ETag"] == plain.headers["ETag"]
    one = api.send("GET", f"units/{units[0]}", yard.sol, headers={"Accept-Encoding": "gzip"})
    assert "Content-Encoding" not in one.headers
    assert not one.headers["ETag"].startswith("W/")
