"""Devices by the API: enrolled with a key of their own, heard of, refused once revoked."""

from typing import Any
from uuid import uuid4

from django.utils import timezone

from prep.actions.accounts.devices import digest_of
from prep.actions.perform import perform
from prep.models import Device, Event, Reading, Token
from prep.record.device.commands import RevokeDevice
from tests.api.client import Answer, Api
from tests.cast import PASSWORD, Yard
from tests.tablets import KEY, tablet

FRONT = {"command": "reading.take", "step": "pitch", "line": "front", "text": "4 in"}


def batch(unit: Any, device: str) -> dict[str, Any]:
    """One reading that a tablet kept."""
    now = timezone.now().isoformat()
    sent = {"id": str(uuid4()), "target": str(unit), "happened": now, "command": FRONT}
    return {"device": {"id": device, "clock": now}, "commands": [sent]}


def send(api: Api, unit: Any, device: str, key: str = "", **more: str) -> Answer:
    """Send a batch, with a key where one is given."""
    headers = {"Device-Key": key} if key else {}
    return api.send("POST", "commands", headers={**headers, **more}, body=batch(unit, device))


def test_a_device_is_enrolled_with_the_digest_of_a_key_it_keeps(api: Api, yard: Yard) -> None:
    """The key is not sent, and neither it nor its digest is in the log."""
    body = {"site": yard.site, "name": "Tablet 2", "key_digest": digest_of(KEY)}
    made = api.post("devices/enroll", body, yard.mira)
    assert made.status == 201
    device = Device.objects.get()
    assert (device.name, device.key_digest) == ("Tablet 2", digest_of(KEY))
    assert digest_of(KEY) not in Event.objects.get(kind="device.enrolled").body
    assert api.post("devices/enroll", body, yard.ada).code == "not-allowed"
    listed = api.get("devices?fields=id,name,unsent,revoked", yard.rhea).body["items"]
    assert listed == [{"id": str(device.pk), "name": "Tablet 2", "unsent": None, "revoked": None}]
    assert api.get("devices", yard.ada).code == "not-allowed"


def test_a_device_that_proves_itself_is_heard_of_with_what_waits_on_it(
    api: Api, yard: Yard
) -> None:
    """At every request, whatever it asks."""
    device, unit = tablet(yard.mira, yard.site), yard.started()
    answer = send(api, unit, str(device), f"{device}.{KEY}", **{"Device-Unsent": "12"})
    assert answer.body["outcomes"][0]["status"] == "done"
    row = Device.objects.get()
    assert row.unsent == 12
    assert row.contact is not None


def test_a_batch_of_a_revoked_device_is_refused_and_it_keeps_its_commands(
    api: Api, yard: Yard
) -> None:
    """With its key, without it, and under another's; nothing is entered."""
    device, unit = tablet(yard.mira, yard.site), yard.started()
    other = tablet(yard.mira, yard.site, "Tablet 3", "the key of another tablet (invented)")
    perform(RevokeDevice(reason="stolen"), actor=yard.mira, target=device)
    refused = send(api, unit, str(device), f"{device}.{KEY}")
    assert (refused.status, refused.code) == (403, "device-revoked")
    assert "Tablet 2 was taken out of use. What waits on it stays" in refused.body["detail"]
    assert send(api, unit, str(device)).code == "device-unproved"
    assert send(api, unit, str(device).upper()).code == "device-unproved"
    theirs = f"{other}.the key of another tablet (invented)"
    assert send(api, unit, str(device), theirs).code == "device-unproved"
    assert not Reading.objects.exists()
    assert api.send("GET", "units", headers={"Device-Key": f"{device}.{KEY}"}).status == 403


def test_a_device_with_a_name_only_sends_as_before(api: Api, yard: Yard) -> None:
    """A program of an integrator is no tablet of the yard."""
    for name in ("Importer 7", str(uuid4())):
        answer = send(api, yard.started(), name)
        assert answer.body["outcomes"][0]["status"] == "done"


def test_a_key_that_is_made_up_is_refused(api: Api, yard: Yard) -> None:
    """Also where nobody is asked for it."""
    device = tablet(yard.mira, yard.site)
    for key in (f"{device}.x", "x", f"{uuid4()}.{KEY}", f"{device}"):
        answer = api.send("GET", "units", headers={"Device-Key": key})
        assert (answer.status, answer.code) == (403, "device-unknown")


def signed_in_on(api: Api, yard: Yard, device: str) -> str:
    """A token of the technician's that was made on a tablet of the yard."""
    body = {"username": yard.ada.username, "password": PASSWORD}
    headers = {"Device-Key": f"{device}.{KEY}"}
    answer = api.send("POST", "sign-in", headers=headers, body=body, anonymous=True)
    assert answer.status == 200
    return str(answer.body["token"])


def me(api: Api, token: str, key: str = "") -> Answer:
    """Who the bearer of a token is, with a device's key where one is given."""
    headers = {"Device-Key": key} if key else {}
    bearer = {"Authorization": f"Token {token}"}
    return api.send("GET", "me", headers={**headers, **bearer}, anonymous=True)


def test_a_token_made_on_a_tablet_is_of_no_use_without_it(api: Api, yard: Yard) -> None:
    """Copied to another machine it lets nobody in, nor with another tablet's key."""
    device = str(tablet(yard.mira, yard.site))
    other = tablet(yard.mira, yard.site, "Tablet 3", "the key of another tablet (invented)")
    token = signed_in_on(api, yard, device)
    assert me(api, token, f"{device}.{KEY}").body["username"] == yard.ada.username
    theirs = f"{other}.the key of another tablet (invented)"
    for key in ("", theirs, f"{device}.x", f"{other}.{KEY}"):
        answer = me(api, token, key)
        assert (answer.status, answer.code) == (401, "token-elsewhere")


def test_a_tablet_taken_out_of_use_ends_the_tokens_made_on_it(api: Api, yard: Yard) -> None:
    """And no other: neither one made on another tablet nor one made elsewhere."""
    device, kept = tablet(yard.mira, yard.site), tablet(yard.mira, yard.site, "Tablet 3")
    token, elsewhere = signed_in_on(api, yard, str(device)), signed_in_on(api, yard, str(kept))
    perform(RevokeDevice(reason="stolen"), actor=yard.mira, target=device)
    assert me(api, token, f"{device}.{KEY}").code == "token-unknown"
    assert me(api, elsewhere, f"{kept}.{KEY}").status == 200
    assert me(api, api.token(yard.ada)).status == 200


def test_a_token_moved_to_another_tablet_in_the_database_lets_nobody_in(
    api: Api, yard: Yard
) -> None:
    """The device is part of what the row's fingerprint is made of."""
    device, other = tablet(yard.mira, yard.site), tablet(yard.mira, yard.site, "Tablet 3")
    token = signed_in_on(api, yard, str(device))
    for moved in (other, None):
        Token.objects.filter(device__isnull=False).update(device=moved)
        assert me(api, token, f"{other}.{KEY}").code == "token-unknown"
        Token.objects.filter(signed_in=True).update(device=device)
    assert me(api, token, f"{device}.{KEY}").status == 200
