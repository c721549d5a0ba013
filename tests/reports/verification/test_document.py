"""An auditor has everything verified from far, follows it, and reads what was found."""

from collections.abc import Iterator
from typing import Any
from uuid import UUID

import msgspec
import pytest

from prep.actions.perform import perform
from prep.actions.sealing import private_half
from prep.models import Checkpoint, Flag, Leaf, LogKey, TreeNode, Unit, Unsealed
from prep.record.log import merkle_tree, signed_notes
from prep.record.roles import Role
from prep.record.site.commands import GiveRole
from prep.verify.findings import Finding, Stopped, Tell
from prep.verify.run import CHECKS
from prep.words.reader import Reader, say
from reports import queue
from reports.models import DocumentRequest, State
from reports.verification import document
from tests.actions.kept import kept, rows, unguarded
from tests.api.client import Answer, Api
from tests.cast import Yard

__all__ = ["kept"]

ADDRESS = "documents"


@pytest.fixture
def api(kept: tuple[Yard, UUID]) -> Api:
    """The API over the kept record."""
    return Api(kept[0])


def asked(api: Api, **parameters: Any) -> Answer:
    """Rhea, the auditor, asks."""
    body = {"kind": "verification", "parameters": parameters}
    return api.post(ADDRESS, body, api.yard.rhea)


def made(api: Api, answer: Answer) -> document.Verification:
    """The report, fetched and read as strictly as its description is written."""
    assert answer.status == 201
    queue.run_due()
    place = f"{ADDRESS}/{answer.body['id']}"
    assert api.get(place, api.yard.rhea).body["state"] == "done"
    content = api.get(f"{place}/file", api.yard.rhea).content
    return msgspec.json.decode(content, type=document.Verification)


@pytest.fixture
def rhea_audits(kept: tuple[Yard, UUID]) -> None:
    """The kept record took the auditor's role away; she has it again."""
    yard = kept[0]
    perform(
        GiveRole(person=yard.rhea.username, role=Role.AUDITOR), actor=yard.otto, target=yard.site
    )


@pytest.mark.usefixtures("rhea_audits")
def test_an_auditor_learns_that_everything_holds(api: Api) -> None:
    """With how much was looked at, up to which checkpoint, and under which keys."""
    newest = Checkpoint.objects.latest("size")
    report = made(api, asked(api))
    assert (report.holds, report.verdict) == (
        True,
        "Everything checked is as it was recorded.",
    )
    assert (report.findings, report.not_listed) == ([], 0)
    assert report.asked_by == "Rhea Invented"
    counts = {part.part: part.count for part in report.checked}
    assert counts["events"] == Leaf.objects.count() == newest.size
    assert (counts["units"], counts["documents"]) == (2, 3)
    assert report.checkpoint == document.Upto(
        newest.size,
        newest.root,
        newest.note,
        Unsealed.objects.count() - 1,  # its own issue
    )
    assert report.keys == list(LogKey.objects.order_by("created").values_list("pk", flat=True))
    assert len(report.keys) == 2


@pytest.mark.usefixtures("rhea_audits")
def test_what_was_altered_is_named_by_kind(api: Api, kept: tuple[Yard, UUID]) -> None:
    """A unit's row, and a node of the tree, in plain words."""
    with unguarded():
        Unit.objects.filter(pk=kept[1]).update(ready_for_buyer=False)
        rows(TreeNode).filter(level=1, index=0).update(hash="00" * 32)
        report = made(api, asked(api))
    assert (report.holds, report.verdict) == (False, "Not everything is as it was recorded.")
    found = {
        kind.kind: (kind.about, [one.text for one in kind.findings]) for kind in report.findings
    }
    assert found["unit"] == (
        "Units",
        ["Unit Larkfield TC00001: “ready_for_buyer” is False; the log says True."],
    )
    assert found["tree"][0] == "Tree over the log"
    assert "Node 1/0 of the tree does not match the two nodes below it." in found["tree"][1]


@pytest.mark.usefixtures("rhea_audits")
def test_the_log_is_held_to_a_checkpoint_the_auditor_kept(api: Api, settings: Any) -> None:
    """A true one holds; one of a log of the same size with another past does not."""
    oldest = Checkpoint.objects.earliest("size")
    report = made(api, asked(api, older=oldest.note))
    assert (report.holds, report.older) == (True, [oldest.note])
    [key, _] = [signed_notes.parse_verifier_key(text) for text in report.keys]
    text = signed_notes.format_checkpoint(
        signed_notes.Checkpoint(key.name, oldest.size, merkle_tree.leaf_hash(b"another past"))
    )
    report = made(api, asked(api, older=signed_notes.sign_note(text, key.name, private_half(key))))
    [kind] = report.findings
    assert kind.about == "The checkpoint you kept"
    assert kind.findings[0].text.endswith("the log under it is not the one signed.")


@pytest.mark.usefixtures("rhea_audits")
def test_the_report_is_in_the_language_asked_for(
    api: Api, kept: tuple[Yard, UUID], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Verdict, parts, kinds and findings are said for that reader; codes are no language's."""
    refused = asked(api, language="de")
    assert (refused.status, refused.code) == (422, "no-such-language")
    readers: set[Reader] = set()

    def heard(reader: Reader, *texts: Any, **values: Any) -> str:
        readers.add(reader)
        return say(reader, *texts, **values)

    monkeypatch.setattr("prep.words.verification.sentences.say", heard)
    monkeypatch.setattr("prep.words.verification.sorts.say", heard)
    with unguarded():
        Unit.objects.filter(pk=kept[1]).update(ready_for_buyer=False)
        made(api, asked(api, language="es"))
    assert readers == {Reader(language="es")}


@pytest.mark.usefixtures("rhea_audits")
def test_sent_twice_it_is_verified_once(api: Api) -> None:
    """The same key, the same verification; another key, another."""
    body = {"kind": "verification"}
    first = api.post(ADDRESS, body, api.yard.rhea, key="6f0f6a34-8a2e-4c5e-9f58-6d6a58b3a111")
    again = api.post(ADDRESS, body, api.yard.rhea, key="6f0f6a34-8a2e-4c5e-9f58-6d6a58b3a111")
    other = api.post(ADDRESS, body, api.yard.rhea)
    assert first.body["id"] == again.body["id"] != other.body["id"]
    assert DocumentRequest.objects.filter(kind="verification").count() == 2


@pytest.mark.parametrize("who", ["ada", "mira", "sol", "rhea", "outsider"])
def test_only_auditors_and_administrators_may_ask(api: Api, who: str) -> None:
    """Rhea is an auditor no more. Nothing is asked for."""
    answer = api.post(ADDRESS, {"kind": "verification"}, getattr(api.yard, who))
    assert (answer.status, answer.code) == (403, "not-allowed")
    assert not DocumentRequest.objects.filter(kind="verification").exists()


def test_an_administrator_may_ask_and_it_is_of_no_unit(api: Api, kept: tuple[Yard, UUID]) -> None:
    """Otto may; of one unit there is none; an unknown parameter is refused by name."""
    otto = api.yard.otto
    assert api.post(ADDRESS, {"kind": "verification"}, otto).status == 201
    of_unit = api.post(f"units/{kept[1]}/documents", {"kind": "verification"}, otto)
    assert of_unit.code in {"unit-unwanted", "no-such-unit"}
    wrong = {"kind": "verification", "parameters": {"odler": "x"}}
    assert api.post(ADDRESS, wrong, otto).code == "input-unfit"
    assert DocumentRequest.objects.filter(kind="verification").count() == 1


@pytest.mark.usefixtures("rhea_audits")
def test_progress_only_grows_and_ends_at_the_whole(
    api: Api, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Hundredths of a check, whatever the parts of a check say of themselves."""
    heard: list[tuple[int, int]] = []
    answer = asked(api)
    request = DocumentRequest.objects.get(pk=answer.body["id"])
    request.worker = request.pk
    document.build(request, lambda done, total: heard.append((done, total)))
    assert heard == sorted(heard)
    assert {total for _, total in heard} == {100 * len(CHECKS)}
    assert heard[-1][0] == 100 * len(CHECKS)
    assert len({done for done, _ in heard}) > len(CHECKS)


@pytest.mark.usefixtures("rhea_audits")
def test_cancelled_in_the_middle_it_stops_at_the_next_page(
    api: Api, monkeypatch: pytest.MonkeyPatch
) -> None:
    """And leaves no file, and no finding that a check could not be finished."""
    answer = asked(api)
    place = f"{ADDRESS}/{answer.body['id']}"
    went_on: list[str] = []

    def cancelled(tell: Tell) -> Iterator[Finding]:
        api.post(f"{place}/cancel", None, api.yard.rhea)
        tell("events", 1, 1)
        yield from ()

    def after(tell: Tell) -> Iterator[Finding]:
        went_on.append("after")
        yield from ()

    monkeypatch.setattr("prep.verify.run.CHECKS", [cancelled, after])
    queue.run_due()
    assert api.get(place, api.yard.rhea).body["state"] == "cancelled"
    assert went_on == []
    request = DocumentRequest.objects.get(pk=answer.body["id"])
    assert (request.state, str(request.file)) == (State.CANCELLED, "")
    assert issubclass(queue.ClaimLost, Stopped)


@pytest.mark.usefixtures("rhea_audits")
def test_a_thousand_findings_are_listed_and_the_rest_counted(
    api: Api, kept: tuple[Yard, UUID], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The report stays of a size a person can open."""
    monkeypatch.setattr("prep.verify.run.LISTED", 3)
    with unguarded():
        Flag.objects.bulk_create(
            Flag(
                id=f"f-{number}",
                unit_id=kept[1],
                origin="person",
                about={},
                open=True,
                raised=Checkpoint.objects.latest("size").created,
            )
            for number in range(8)
        )
        report = made(api, asked(api))
    assert [(kind.kind, len(kind.findings)) for kind in report.findings] == [("flag", 3)]
    assert report.not_listed == 5
