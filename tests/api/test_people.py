"""People over the API: invite, look at an account, your own settings, the lists."""

from prep.actions.accounts.invitations import opened_by
from prep.models import Invitation, Person
from tests.actions.people.cast import LONG, invite, join, south
from tests.api.client import Api
from tests.cast import PASSWORD, Yard

JO = {"username": "jo", "name": "Jo Invented", "roles": ["technician"]}


def test_an_invitation_is_answered_with_its_link_and_code_to_whoever_asked(
    api: Api, yard: Yard
) -> None:
    """Sent again under its key it answers the same; nobody else may use the key."""
    key = "9f0c7d0e-8a53-4f0e-9b5a-3d6a2f6f0f11"
    made = api.post("sites/north/person/invite", JO, yard.otto, key=key)
    assert made.status == 201
    assert made.headers["Cache-Control"] == "no-store"
    again = api.post("sites/north/person/invite", JO, yard.otto, key=key)
    assert (again.status, again.body["link"]) == (200, made.body["link"])
    assert opened_by(made.body["code"]) == Invitation.objects.get()
    assert api.post("sites/north/person/invite", JO, yard.ada).status == 403
    renewed = api.post(f"people/{made.body['person']}/invitation/renew", {}, yard.otto)
    assert renewed.body["code"] != made.body["code"]
    assert (
        api.post(f"people/{made.body['person']}/invitation/withdraw", {}, yard.otto).status == 201
    )


def test_an_account_is_told_to_the_office_and_to_its_owner(api: Api, yard: Yard) -> None:
    """State, roles, cards with their state, what happened; not to colleagues or strangers."""
    card = {"kind": "tire", "number": "INV-0042", "valid_until": "2020-01-31"}
    api.post(f"people/{yard.ada.pk}/card/record", card, yard.mira)
    told = api.get(f"people/{yard.ada.pk}", yard.rhea).body
    assert (told["name"], told["state"]) == ("Ada Invented", "active")
    assert told["sites"] == [{"site": "north", "name": "North yard", "roles": ["technician"]}]
    assert [(one["kind"], one["state"]) for one in told["cards"]] == [("tire", "expired")]
    assert told["history"][0]["text"].startswith(
        "Training card recorded: Tire service, until 31 Jan"
    )
    assert told["invitation"] is None
    assert api.get(f"people/{yard.ada.pk}", yard.ada).body == told
    assert api.get(f"people/{yard.ada.pk}", yard.ben).status == 403
    south(yard)
    assert api.get(f"people/{yard.ada.pk}", yard.outsider).code == "no-such-person-id"
    for nobody in ("0", "999999", "9" * 30):
        assert api.get(f"people/{nobody}", yard.otto).status == 404
    jo, _ = invite(yard)
    assert api.get(f"people/{jo.pk}", yard.otto).body["invitation"]["purpose"] == "join"


def test_you_choose_your_own_settings(api: Api, yard: Yard) -> None:
    """What is left out stays; a wrong value is named."""
    assert api.post("me/preferences", {"units": "metric", "numbers": "comma"}).status == 204
    me = api.get("me").body
    assert (me["language"], me["units"], me["decimal_comma"]) == ("en", "metric", True)
    assert api.post("me/preferences", {"units": "cubits"}).code == "input-unfit"
    assert api.post(f"people/{yard.ada.pk}/prefer", {"numbers": "point"}).status == 201
    assert api.post(f"people/{yard.ada.pk}/prefer", {}, yard.otto).code == "own-only"


def test_a_changed_password_ends_the_token_it_was_changed_with(api: Api, yard: Yard) -> None:
    """Wrong, easy, then right; whoever has it signs in anew."""
    wrong = {"password": "no", "new_password": LONG}
    assert api.post("me/password", wrong).code == "password-wrong"
    easy = {"password": PASSWORD, "new_password": "short"}
    assert api.post("me/password", easy).code == "password-too-short"
    assert api.post("me/password", {"password": PASSWORD, "new_password": LONG}).status == 204
    assert api.get("me").status == 401
    assert Person.objects.get(pk=yard.ada.pk).check_password(LONG)


def test_signed_out_everywhere_no_token_is_left(api: Api, yard: Yard) -> None:
    """The one that asked for it neither."""
    assert api.post("me/sign-out-everywhere").status == 204
    assert api.get("me").status == 401


def test_a_suspended_persons_token_opens_nothing(api: Api, yard: Yard) -> None:
    """At once; restored, they sign in for another."""
    assert api.get("me").status == 200
    reason = {"reason": "Tablet lost (invented)"}
    assert api.post(f"people/{yard.ada.pk}/suspend", reason, yard.otto).status == 201
    assert api.get("me").status == 401
    sign_in = {"username": yard.ada.username, "password": PASSWORD}
    assert api.send("POST", "sign-in", headers={}, body=sign_in, anonymous=True).status == 401


def test_an_invited_account_is_no_door(api: Api, yard: Yard) -> None:
    """Neither an empty password nor any other signs in before the invitation was used."""
    jo, opener = invite(yard)
    for password in ("", LONG):
        sign_in = {"username": jo.username, "password": password}
        assert api.send("POST", "sign-in", headers={}, body=sign_in, anonymous=True).status == 401
    join(opener.code)
    sign_in = {"username": jo.username, "password": LONG}
    assert api.send("POST", "sign-in", headers={}, body=sign_in, anonymous=True).status == 200


def test_people_members_and_cards_are_lists(api: Api, yard: Yard) -> None:
    """Each of the yards where one may look."""
    invite(yard)
    api.post(
        f"people/{yard.ada.pk}/card/record",
        {"kind": "tire", "valid_until": "2099-01-31"},
        yard.otto,
    )
    listed = api.get("people?state=invited", yard.otto).body["items"]
    assert [(one["person"], one["state"]) for one in listed] == [("jo", "invited")]
    assert api.get("people", yard.ada).status == 403
    roles = {one["role"] for one in api.get("members?q=Jo", yard.ada).body["items"]}
    assert roles == {"technician"}
    cards = api.get("cards?ends_before=2100-01-01", yard.sol).body["items"]
    assert [(one["kind"], one["state"]) for one in cards] == [("tire", "valid")]
    south(yard)
    for name in ("people", "cards"):
        everybody = api.get(name, yard.outsider).body["items"]
        assert "ada-north" not in {one["person"] for one in everybody}
