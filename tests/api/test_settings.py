"""A wrench's setting over the API."""

from tests.api.client import Api
from tests.setting_sheets import with_settings


def test_a_setting_is_sent_and_shown_apart_from_readings(api: Api) -> None:
    """The sheet says how many fasteners there are; the entry has no measured value."""
    unit = with_settings(api.yard)
    sheet = api.get(f"units/{unit}/sheet").body
    lines = {
        line["line"]: line
        for section in sheet["sections"]
        for step in section["steps"]
        for line in step["lines"]
    }
    assert (lines["torque"]["takes"], lines["torque"]["fasteners"]) == ("setting", 6)
    assert (lines["front"]["takes"], lines["front"]["fasteners"]) == ("reading", None)
    body = {"step": "blades", "line": "torque", "position": "left", "instrument": "W-1"}
    answer = api.post(
        f"units/{unit}/setting/check", {**body, "text": "450 ft lb", "checked": 6, "moved": 0}
    )
    assert answer.status == 201, answer.body
    entry = answer.body["entry"]
    assert (entry["kind"], entry["verdict"]) == ("setting", "setting-in-limit")
    assert (entry["typed"], entry["canonical"]) == ("", "")
    assert entry["setting"] == {
        "value": "450",
        "unit": "ft·lbf",
        "canonical": "610.118076749",
        "canonical_unit": "N·m",
        "fasteners": 6,
        "checked": 6,
        "moved": 0,
    }
    [row] = api.get("entries?kind=setting").body["items"]
    assert (row["raw"], row["canonical"]) == ("450 ft lb", "")
