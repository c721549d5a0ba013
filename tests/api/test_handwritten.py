"""Handwritten pages over HTTP: the photo first, then entries that name it."""

from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID, uuid4

from tests.api.client import Answer, Api
from tests.cast import Yard
from tests.refusals import everything
from tests.stored_files import picture


def attach(api: Api, unit: UUID, query: str = "", key: str = "", actor: Any = None) -> Answer:
    """Ada sends a picture of a page."""
    return api.send(
        "POST",
        f"units/{unit}/page/attach{query}",
        actor,
        headers={"Idempotency-Key": key or str(uuid4())},
        content=picture(),
        content_type="image/png",
    )


def now() -> str:
    """The current time as a device sends it."""
    return datetime.now(UTC).isoformat()


def test_entries_are_copied_from_a_picture_over_http(api: Api, yard: Yard) -> None:
    """The sheet lists the page; the entry names page, writer and copier."""
    unit = yard.started()
    page = attach(api, unit, "?note=page%201").body["events"][0]
    source = {"photo": page["photo"], "writer": yard.ben.username, "written": now()}
    body = {"step": "pitch", "line": "front", "text": "4 in", "paper": source}
    taken = api.post(f"units/{unit}/reading/take", body)
    assert taken.status == 201
    entry = taken.body["entry"]
    assert entry["copied_from_paper"]
    assert entry["paper"] == {
        "photo": page["photo"],
        "digest": page["digest"],
        "writer": str(yard.ben.pk),
        "writer_name": "Ben Invented",
    }
    assert entry["by"]["name"] == "Ada Invented"
    assert entry["by"]["happened"] == source["written"].replace("+00:00", "Z")
    sheet = api.get(f"units/{unit}/sheet").body
    assert [(one["photo"], one["note"]) for one in sheet["paper_sheets"]] == [
        (page["photo"], "page 1")
    ]
    assert all(not step["photos"] for section in sheet["sections"] for step in section["steps"])


def test_a_check_is_copied_over_http(api: Api, yard: Yard) -> None:
    """With its note."""
    unit = yard.started()
    photo = attach(api, unit).body["events"][0]["photo"]
    api.post(f"units/{unit}/caution/acknowledge", {"step": "block"})
    source = {"photo": photo, "writer": yard.ada.username, "written": now()}
    body = {"step": "block", "line": "blocked", "answer": True, "note": "oak", "paper": source}
    entry = api.post(f"units/{unit}/check/complete", body).body["entry"]
    assert (entry["paper"]["writer_name"], entry["note"]) == ("Ada Invented", "oak")


def test_paper_that_cannot_be_borne_out_is_refused_by_the_member_at_fault(
    api: Api, yard: Yard
) -> None:
    """No picture, nobody, the future, no offset: pointer and status say which."""
    unit = yard.started()
    photo = attach(api, unit).body["events"][0]["photo"]
    good = {"photo": photo, "writer": yard.ada.username, "written": now()}
    later = (datetime.now(UTC) + timedelta(hours=1)).isoformat()
    wrong = [
        ({"photo": str(uuid4())}, "no-paper", "#/paper/photo"),
        ({"writer": "nobody"}, "no-such-writer", "#/paper/writer"),
        ({"written": later}, "happened-in-future", "#/paper/written"),
        ({"written": "2026-03-02T08:15:00"}, "input-unfit", "#/paper/written"),
        ({"copier": "x"}, "input-unfit", "#/paper/copier"),
    ]
    before = everything()
    for change, code, pointer in wrong:
        body = {"step": "pitch", "line": "front", "text": "4 in", "paper": {**good, **change}}
        answer = api.post(f"units/{unit}/reading/take", body)
        assert (answer.code, answer.body["errors"][0]["pointer"]) == (code, pointer)
        assert answer.status == 422
    assert everything() == before


def test_a_page_sent_twice_is_kept_once_and_a_strangers_not_at_all(api: Api, yard: Yard) -> None:
    """By its key; a stranger finds no unit, an auditor may not."""
    unit, key = yard.started(), str(uuid4())
    first = attach(api, unit, key=key)
    again = attach(api, unit, key=key)
    assert (first.status, again.status) == (201, 200)
    assert attach(api, unit, actor=yard.outsider).status == 404
    assert attach(api, unit, actor=yard.rhea).status == 403
    assert len(api.get(f"units/{unit}/sheet").body["paper_sheets"]) == 1
