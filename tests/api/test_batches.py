"""Batches over the API: what a tablet kept while it had no signal, sent at once."""

from datetime import timedelta
from typing import Any
from uuid import UUID, uuid4, uuid5

import msgspec
import pytest
from django.utils import timezone

from api.media_types import BatchBody
from prep.actions.batches.refused_commands import refused_id
from prep.actions.perform import perform
from prep.actions.streams.units import UnitStream
from prep.models import Attempt, Event, Unit
from prep.queries.records import record_of
from prep.record.commands import COMMANDS
from prep.record.instrument.commands import RecordInstrument
from tests.api.client import Answer, Api, schema
from tests.cast import PIN, WRENCH, Yard, days_ago
from tests.refusals import everything

FRONT = {"command": "reading.take", "step": "pitch", "line": "front", "text": "4 in"}


def sent(target: UUID | None, values: dict[str, Any], **more: Any) -> dict[str, Any]:
    """One command of a batch, given a minute ago."""
    about = {"target": str(target)} if target else {}
    return {
        "id": str(uuid4()),
        "happened": timezone.now().isoformat(),
        "command": values,
        **about,
        **more,
    }


def batch(*commands: dict[str, Any], **device: Any) -> dict[str, Any]:
    """A batch from Tablet 2, whose clock is right."""
    clock = timezone.now().isoformat()
    return {"device": {"id": "Tablet 2", "clock": clock, **device}, "commands": list(commands)}


def statuses(answer: Answer) -> list[str]:
    """What became of each command, with the code of what was refused."""
    assert answer.status == 200
    return [
        one["problem"]["type"].rpartition(":")[2] if one["problem"] else one["status"]
        for one in answer.body["outcomes"]
    ]


def test_a_batch_is_carried_out_in_order_and_says_what_became_of_each(api: Api, yard: Yard) -> None:
    """A unit is received, its sheet started and a reading taken, before the service knew of it."""
    receive = {"command": "unit.receive", "site": yard.site, "maker": "Larkfield", "serial": "TC1"}
    first = sent(None, {**receive, "model": "TC-12"})
    # The id of the unit follows from that of the command, and so the tablet knows it.
    unit = uuid5_of(first)
    bad = sent(unit, {**FRONT, "line": "nowhere"})
    answer = api.post(
        "commands",
        batch(first, sent(unit, {"command": "sheet.start"}), bad, sent(unit, FRONT)),
    )
    assert statuses(answer) == ["done", "done", "no-such-line", "done"]
    taken = answer.body["outcomes"][3]["recorded"]
    assert (taken["unit"], taken["entry"]["verdict"]) == (str(unit), "conforming")
    assert answer.body["outcomes"][2]["problem"]["status"] == 404
    kinds = Event.objects.filter(stream="unit").order_by("version").values_list("kind", "device")
    assert list(kinds) == [
        ("unit.received", "Tablet 2"),
        ("sheet.started", "Tablet 2"),
        ("reading.taken", "Tablet 2"),
    ]


def uuid5_of(receiving: dict[str, Any]) -> UUID:
    """The unit that a command receives."""
    return uuid5(UnitStream.names, receiving["id"])


def test_a_batch_sent_again_repeats_what_was_done_and_doubles_nothing(api: Api, yard: Yard) -> None:
    """The first answer was lost on the way."""
    unit = yard.started()
    commands = batch(
        sent(unit, FRONT), sent(unit, {"command": "shortage.note", "part": "Chain guard"})
    )
    first = api.post("commands", commands)
    before = everything()
    again = api.post("commands", commands)
    assert statuses(again) == ["repeated", "repeated"]
    assert everything() == before
    for one, other in zip(first.body["outcomes"], again.body["outcomes"], strict=True):
        assert one["recorded"]["events"] == other["recorded"]["events"]
        assert one["recorded"]["version"] == other["recorded"]["version"]


def test_what_depends_on_a_refused_command_is_held_and_the_rest_goes_on(
    api: Api, yard: Yard
) -> None:
    """By its word, by naming the unit, the entry or the part; and what depends on that in turn."""
    unit = yard.started()
    receive = sent(
        None, {"command": "unit.receive", "site": yard.site, "maker": " ", "serial": "1"}
    )
    start = sent(uuid5_of(receive), {"command": "sheet.start"})
    part = sent(unit, {"command": "shortage.note", "part": " "})
    arrived = sent(unit, {"command": "shortage.arrive", "shortage": part["id"]})
    wrong = sent(unit, {**FRONT, "text": "4 apples"})
    correction = {**FRONT, "text": "4 in", "supersedes": wrong["id"], "reason": "Slip"}
    correcting = sent(unit, correction)
    after = sent(unit, {"command": "location.set", "place": "Row C"}, after=[correcting["id"]])
    free = sent(unit, FRONT)
    answer = api.post(
        "commands", batch(receive, start, part, arrived, wrong, correcting, after, free)
    )
    assert statuses(answer) == [
        *("input-unfit", "held", "input-unfit", "held", "unreadable", "held", "held", "done")
    ]
    waits = [one["waits_for"] for one in answer.body["outcomes"]]
    assert waits == [
        *(None, receive["id"], None, part["id"], None, wrong["id"], correcting["id"], None)
    ]


def test_what_waits_for_a_command_of_an_earlier_batch_goes_on_once_that_is_done(
    api: Api, yard: Yard
) -> None:
    """The batch was cut; a command of somebody else, or of nobody, is waited for."""
    unit = yard.started()
    first, of_ben = sent(unit, FRONT), sent(unit, {"command": "flag.raise", "text": "Decal torn"})
    assert statuses(api.post("commands", batch(of_ben), yard.ben)) == ["done"]
    place = {"command": "location.set", "place": "Row C"}
    second = sent(unit, place, after=[first["id"]])
    third = sent(unit, {**place, "place": "Row D"}, after=[of_ben["id"]])
    assert statuses(api.post("commands", batch(second, third))) == ["held", "held"]
    assert statuses(api.post("commands", batch(first))) == ["done"]
    assert statuses(api.post("commands", batch(second, third))) == ["done", "held"]


def test_every_fault_of_the_envelope_is_named_at_once_and_nothing_is_tried(
    api: Api, yard: Yard
) -> None:
    """A batch that cannot be read is corrected once, not fault by fault."""
    unit = yard.started()
    before = everything()
    wrong = {**batch(sent(unit, FRONT), sent(unit, FRONT)), "color": "red"}
    wrong["device"] = {"id": " "}
    wrong["commands"][1] |= {"id": "one", "happened": "noon", "after": ["two"], "command": "x"}
    answer = api.post("commands", wrong)
    assert (answer.status, answer.code) == (422, "input-unfit")
    assert [one["pointer"] for one in answer.body["errors"]] == [
        "#/color",
        "#/device/id",
        "#/device/clock",
        "#/commands/1/id",
        "#/commands/1/happened",
        "#/commands/1/after/0",
        "#/commands/1/command",
    ]
    assert everything() == before


def test_five_hundred_commands_fit_and_one_more_does_not(api: Api, yard: Yard) -> None:
    """Nothing of a batch that is too long is tried."""
    many = [sent(None, {"command": "nothing"}) for _ in range(501)]
    answer = api.post("commands", batch(*many))
    assert (answer.status, answer.code) == (422, "input-unfit")
    assert [one["pointer"] for one in answer.body["errors"]] == ["#/commands"]
    assert statuses(api.post("commands", batch(*many[:500]))) == ["no-such-command"] * 500
    longest = {**FRONT, "text": "€" * 400, "reason": "€" * 2000}
    most = len(str(batch(sent(uuid4(), longest))).encode()) * 500
    assert most < BatchBody.largest


def test_a_signature_in_a_batch_is_refused_and_its_pin_is_neither_tried_nor_kept(
    api: Api, yard: Yard
) -> None:
    """Four digits cannot be kept on a tablet without giving them away."""
    unit = yard.started()
    sign = {"command": "step.sign", "step": "pitch", "seen": "0" * 64, "pin": "90210"}
    answer = api.post("commands", batch(sent(unit, sign)))
    assert statuses(answer) == ["signature-in-batch"]
    assert not Attempt.objects.exists()
    (kept,) = api.get(f"units/{unit}/refused").body["items"]
    assert kept["fields"] == {"step": "pitch", "seen": "0" * 64}
    assert not any("90210" in row for row in Event.objects.values_list("body", flat=True))


def test_a_picture_in_a_batch_is_refused_and_what_shows_it_is_held(api: Api, yard: Yard) -> None:
    """It is sent by itself, and then what is copied from it."""
    unit = yard.started()
    page = sent(unit, {"command": "page.attach"})
    photo = str(uuid5(UUID(page["id"]), "photo"))
    source = {"photo": photo, "writer": yard.ben.username, "written": timezone.now().isoformat()}
    copied = sent(unit, {**FRONT, "paper": source})
    assert statuses(api.post("commands", batch(page, copied))) == ["attachment-in-batch", "held"]


@pytest.mark.parametrize(
    ("target", "values", "code"),
    [
        (None, {"command": "sheet.start"}, "target-missing"),
        (uuid4(), {"command": "sheet.start"}, "no-such-unit"),
        ("the red one", {"command": "sheet.start"}, "no-such-unit"),
        ("the red one", {"command": "buyer.amend", "name": "Fen"}, "no-such-buyer"),
        ("nowhere", {"command": "member.add", "person": "ada", "role": "sales"}, "no-such-site"),
        (uuid4(), {"command": "refused.settle", "reason": "Looked"}, "no-such-refused"),
        (None, {"command": "document.issue"}, "no-such-command"),
        (None, {"step": "pitch"}, "no-such-command"),
        (None, {"command": ["a", "list"]}, "no-such-command"),
    ],
)
def test_a_command_that_is_about_nothing_is_refused_by_itself(
    api: Api, yard: Yard, target: Any, values: dict[str, Any], code: str
) -> None:
    """The one beside it is carried out."""
    unit = yard.started()
    answer = api.post("commands", batch(sent(target, values), sent(unit, FRONT)))
    assert statuses(answer) == [code, "done"]


def test_one_that_starts_a_record_has_no_target(api: Api, yard: Yard) -> None:
    """Otherwise it would not be clear what the target means."""
    body = {"command": "buyer.add", "site": yard.site, "name": "Fen Farm (invented)"}
    with_target = sent(uuid4(), body)
    without = sent(None, body)
    answer = api.post("commands", batch(with_target, without), yard.sol)
    assert statuses(answer) == ["target-unwanted", "done"]
    assert answer.body["outcomes"][1]["reference"]["events"][0]["kind"] == "buyer.added"


def test_the_version_in_a_batch_is_what_if_match_is(api: Api, yard: Yard) -> None:
    """A stale one is refused, and one that must be named is asked for."""
    unit = yard.started()
    version = record_of(unit).version
    moving = {"command": "sheet.move", "procedure": "rotary", "revision": 1, "reason": "New"}
    answer = api.post(
        "commands",
        batch(
            sent(unit, FRONT, version=version),
            sent(unit, {"command": "location.set", "place": "Row C"}, version=version),
            sent(unit, moving),
        ),
        yard.mira,
    )
    assert statuses(answer) == ["done", "changed-meanwhile", "precondition-missing"]


def test_a_batch_counts_as_one_write(api: Api, yard: Yard, monkeypatch: pytest.MonkeyPatch) -> None:
    """A tablet that was away for a day is not told to wait."""
    monkeypatch.setattr("api.throttles.limit", lambda scope: (2, 60))
    unit = yard.started()
    flags = [sent(unit, {"command": "flag.raise", "text": f"Scratch {n}"}) for n in range(5)]
    assert statuses(api.post("commands", batch(*flags))) == ["done"] * 5
    assert statuses(api.post("commands", batch(*flags))) == ["repeated"] * 5
    assert api.post("commands", batch(*flags)).status == 429


def test_nothing_of_a_unit_is_told_or_kept_for_who_may_not_see_it(api: Api, yard: Yard) -> None:
    """A stranger's batch meets what does not exist, and leaves nothing on the unit's page."""
    unit = yard.started()
    events = Event.objects.count()
    hidden = api.post("commands", batch(sent(unit, FRONT)), yard.outsider)
    made_up = api.post("commands", batch(sent(uuid4(), FRONT)), yard.outsider)
    assert statuses(hidden) == statuses(made_up) == ["no-such-unit"]
    same = [answer.body["outcomes"][0]["problem"] for answer in (hidden, made_up)]
    assert same[0] == same[1]
    assert Event.objects.count() == events
    assert api.get(f"units/{unit}/refused").body["items"] == []
    assert api.get(f"units/{unit}/refused", yard.outsider).status == 404
    auditor = api.post("commands", batch(sent(unit, FRONT)), yard.rhea)
    assert statuses(auditor) == ["not-allowed"]


def test_the_members_of_the_schema_are_the_commands_that_a_batch_may_hold() -> None:
    """Each by its tag; none that is signed, none with a picture."""
    described = schema()["components"]["schemas"]["SentCommand"]["properties"]["command"]
    tags = [tag for tag, one in COMMANDS.items() if one.offered]
    tags = [tag for tag in tags if not (COMMANDS[tag].signs() or COMMANDS[tag].attachment)]
    assert sorted(described["discriminator"]["mapping"]) == sorted(tags)
    references = set(described["discriminator"]["mapping"].values())
    assert {one["$ref"] for one in described["oneOf"]} == references
    names = {reference.rpartition("/")[2] for reference in references}
    assert names <= set(schema()["components"]["schemas"])


def test_a_clock_that_is_off_moves_what_happened_by_as_much(api: Api, yard: Yard) -> None:
    """The tablet is three days behind; the event keeps by how much, and the entry is not late."""
    unit = yard.started(happened=timezone.now() - timedelta(hours=3))
    behind = timedelta(days=3)
    ago = timezone.now() - timedelta(minutes=5)
    reading = sent(unit, FRONT, happened=(ago - behind).isoformat())
    clock = (timezone.now() - behind).isoformat()
    answer = api.post("commands", batch(reading, clock=clock))
    assert statuses(answer) == ["done"]
    event = Event.objects.get(kind="reading.taken")
    assert answer.body["drift"] == event.drift
    assert event.drift is not None
    assert abs(event.drift - behind.total_seconds()) <= 2
    assert abs(event.happened - ago) < timedelta(seconds=3)
    assert answer.body["outcomes"][0]["recorded"]["entry"]["remarks"] == []


def test_an_honest_batch_sent_after_its_tool_came_due_is_taken_and_flagged(
    api: Api, yard: Yard
) -> None:
    """Read three days ago, due the day after, sent today: kept with its remark, open until seen."""
    due = (timezone.now() - timedelta(days=2)).date().isoformat()
    wrench = msgspec.structs.replace(WRENCH, code="W-9", due=due)
    with days_ago(9):
        perform(RecordInstrument(site=yard.site, instrument=wrench, reason="new"), actor=yard.otto)
        unit = yard.started()
        yard.block_deck(unit)
        yard.acknowledge(unit, "blades")
    torque = {"command": "reading.take", "step": "blades", "line": "torque", "text": "450 ft lb"}
    values = {**torque, "position": "left", "instrument": "W-9"}
    then = (timezone.now() - timedelta(days=3)).isoformat()
    answer = api.post("commands", batch(sent(unit, values, happened=then)))
    assert statuses(answer) == ["done"]
    entry = answer.body["outcomes"][0]["recorded"]["entry"]
    assert entry["remark_facts"] == [
        {"remark": "late", "minutes": 3 * 24 * 60},
        {"remark": "differs", "about": "calibration", "held": "happened"},
    ]
    (flag,) = api.get(f"units/{unit}/sheet").body["flags"]
    assert flag["origin"] == "moments-differ"
    reasons = api.get(f"units/{unit}/readiness").body["readiness"]["reasons"]
    assert "flag-open" in {reason["code"] for reason in reasons}


def test_a_single_command_says_the_time_of_its_device_in_a_header(api: Api, yard: Yard) -> None:
    """Within two minutes its word stands; without the header nothing is known of its clock."""
    unit = yard.started(happened=timezone.now() - timedelta(hours=3))
    path, ago = f"units/{unit}/reading/take", timezone.now() - timedelta(minutes=30)
    body = {name: value for name, value in FRONT.items() if name != "command"}
    clock = (timezone.now() + timedelta(seconds=90)).isoformat()
    api.post(path, body, Happened_At=ago.isoformat(), Device_Clock=clock, Device_Name="Tablet 2")
    api.post(f"units/{unit}/flag/raise", {"text": "Decal torn"})
    reading = Event.objects.get(kind="reading.taken")
    assert (reading.happened, reading.drift in range(-91, -87)) == (ago, True)
    assert Event.objects.get(kind="flag.raised").drift is None
    history = api.get(f"units/{unit}/history").body["items"]
    assert [one["drift"] for one in history][-2:] == [reading.drift, None]


def test_a_failure_of_ours_in_one_command_does_not_lose_the_others(
    api: Api, yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is to be sent again; once it is repaired, it goes in."""
    unit = yard.started()
    broken = sent(unit, {"command": "flag.raise", "text": "Decal torn"})
    commands = batch(broken, sent(unit, FRONT))
    with monkeypatch.context() as patch:
        patch.setattr("prep.record.unit.commands.flags.RaiseFlag.decide", None)
        assert statuses(api.post("commands", commands)) == ["unexpected", "done"]
    again = api.post("commands", commands)
    assert statuses(again) == ["done", "repeated"]
    assert Unit.objects.get(pk=unit).open_flags == 1
    assert refused_id(UUID(broken["id"]), yard.ada) not in Event.objects.values_list("command")
    assert PIN not in str(again.body)
