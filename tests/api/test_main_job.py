"""The main job over HTTP, from receiving to the handover, checked against the schema."""

from prep.record.unit.commands.handovers import MUST_SHOW
from tests.api.client import Api
from tests.cast import PIN, Yard


def seen_of(api: Api, unit: str, step: str) -> str:
    """The `seen` of a step as the sheet shows it now."""
    sheet = api.get(f"units/{unit}/sheet").body
    steps = {s["step"]: s for section in sheet["sections"] for s in section["steps"]}
    return str(steps[step]["seen"])


def sign(api: Api, unit: str, step: str) -> None:
    """Ada signs a step over what she was shown."""
    answer = api.post(
        f"units/{unit}/step/sign",
        {"step": step, "seen": seen_of(api, unit, step), "pin": PIN},
    )
    assert answer.status == 201


def prepare(api: Api, yard: Yard, unit: str) -> None:
    """Ada fills in and signs the steps that need no tractor; Ben checks the blades."""
    for step in ("block", "blades"):
        assert api.post(f"units/{unit}/caution/acknowledge", {"step": step}).status == 201
        if step == "block":
            check = api.post(
                f"units/{unit}/check/complete", {"step": step, "line": "blocked", "answer": True}
            )
            assert check.body["step"]["status"] == "ready-to-sign"
            sign(api, unit, step)
    torque = {"step": "blades", "line": "torque", "text": "450 ft lb", "instrument": "W-1"}
    for position in ("left", "right"):
        taken = api.post(f"units/{unit}/reading/take", {**torque, "position": position})
        assert taken.body["entry"]["verdict"] == "conforming"
    sign(api, unit, "blades")
    second = {"step": "blades", "seen": seen_of(api, unit, "blades"), "pin": PIN}
    assert api.post(f"units/{unit}/step/check", second, yard.ben).status == 201
    for line, text in (("front", "4 in"), ("finish", "good")):
        api.post(f"units/{unit}/reading/take", {"step": "pitch", "line": line, "text": text})
    sign(api, unit, "pitch")


def match_to_tractor(api: Api, yard: Yard, unit: str) -> None:
    """Sol assigns a buyer and tractor; Ada does the steps that depend on the tractor."""
    assigned = {"buyer": str(yard.buyer().pk), "tractor": "T-90"}
    assert api.post(f"units/{unit}/buyer/assign", assigned, yard.sol).status == 201
    api.post(f"units/{unit}/reading/take", {"step": "splines", "line": "count", "text": "6"})
    sign(api, unit, "splines")
    distance = {"step": "drawbar", "line": "distance", "text": "14 in", "instrument": "M-1"}
    api.post(f"units/{unit}/reading/take", distance)
    sign(api, unit, "drawbar")


def release(api: Api, yard: Yard, unit: str) -> str:
    """Mira releases the unit; returns the unit's entity tag."""
    sheet = api.get(f"units/{unit}/sheet", yard.mira)
    signature = {"seen": sheet.body["seen"], "pin": PIN}
    released = api.post(f"units/{unit}/release", signature, yard.mira, If_Match=sheet.etag)
    assert released.status == 201
    return released.etag


def test_a_unit_goes_from_the_truck_to_its_buyer_over_http(api: Api, yard: Yard) -> None:
    """Received, prepared, second-checked, matched to the tractor, released, handed over."""
    received = api.post(
        "units/receive", {"site": "north", "maker": "Larkfield", "serial": "TC77", "model": "TC-12"}
    )
    assert received.status == 201
    unit = received.body["unit"]
    assert api.post(f"units/{unit}/sheet/start").status == 201
    prepare(api, yard, unit)
    match_to_tractor(api, yard, unit)
    handover = {
        "recipient": "Wes Fen (invented)",
        "relation": "owner",
        "language": "English",
        "shown": list(MUST_SHOW),
        "manual_given": True,
        "pin": PIN,
    }
    etag = release(api, yard, unit)
    handed_over = api.post(f"units/{unit}/hand-over", handover, yard.sol, If_Match=etag)
    assert handed_over.status == 201
    shown = api.get(f"units/{unit}").body
    assert shown["state"] == "handed-over"
    assert shown["version"] == handed_over.body["version"]
