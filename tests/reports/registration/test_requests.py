"""What a registration lacks, and having it made again."""

import json
from datetime import date
from pathlib import Path
from uuid import UUID

import pytest
from django.core.files.storage import default_storage

from prep.actions.beside_the_log.pictures import PHOTO
from prep.actions.perform import perform
from prep.models import Photo
from prep.queries.records import record_of
from prep.record.model.commands import PublishModel
from prep.record.unit.commands.registrations import AnswerRegistration, SendRegistration
from prep.record.unit.commands.registrations import registration as standing
from prep.words.reader import ENGLISH
from prep.words.registration import to_do
from reports import queue
from reports.document_kind import NotYetError
from reports.models import DocumentRequest, State
from reports.registration import document
from tests.cast import DOCUMENTS, ERASING, Yard
from tests.refusals import refused
from tests.reports.registration_bundles import (
    _own_folders,
    data_of,
    published_key,
    resend,
    verdict,
)
from tests.reports.sold_units import (
    buyer_with_address,
    hand_over,
    made,
    ready_for,
    saved,
    sold,
)

__all__ = ["_own_folders"]  # fixtures


def test_a_buyer_without_an_address_is_named_before_anything_is_built(yard: Yard) -> None:
    """The request fails with the name of what lacks, and nothing lies in the storage."""
    unit = ready_for(yard, buyer_with_address(yard, address=""))
    yard.release(unit)
    hand_over(yard, unit)
    queue.catch_up()
    request = made(unit, "registration")
    assert request.state == State.FAILED
    assert "The registration is missing: buyer address." in queue.failure_of(request, ENGLISH)
    assert list(document.missing(unit)) == ["buyer address"]
    assert default_storage.listdir("documents")[0] == [
        str(DocumentRequest.objects.get(kind="certificate").pk)
    ]


def test_what_lacks_can_be_asked_at_any_time(yard: Yard) -> None:
    """Of a unit that has just come in, each with what to do about it."""
    lacking = document.missing(yard.receive())
    assert list(lacking) == [
        "buyer name",
        "buyer address",
        "tractor",
        "release",
        "handover",
        "delivery date",
    ]
    assert to_do("handover", ENGLISH) == "Hand the unit over, and record it."


def require(yard: Yard, *names: str) -> None:
    """The maker asks for more with every registration of the model."""
    text = (DOCUMENTS / "model.yaml").read_text().replace("revision: 1", "revision: 2")
    text += f"  registration_requires: [{', '.join(names)}]\n"
    perform(PublishModel(document=text), actor=yard.otto)


def test_the_makers_own_list_is_asked_for_by_name(yard: Yard, tmp_path: Path) -> None:
    """From the model's data; a field nobody knows is named too."""
    require(yard, "hour_meter", "buyer phone", "tractor.mass", "model.no_such_field")
    unit = ready_for(yard, buyer_with_address(yard, phone="555 0100"))
    yard.release(unit)
    hand_over(yard, unit)
    assert list(document.missing(unit)) == [
        "hour_meter",
        "model.no_such_field",
    ]


def test_the_answers_to_the_makers_list_stand_in_the_form(yard: Yard, tmp_path: Path) -> None:
    """Under the names the maker gave them."""
    require(yard, "hour_meter", "tractor.mass")
    form = json.loads(
        data_of(saved(made(sold(yard, hour_meter="0.4"), "registration"), tmp_path))[
            "registration.json"
        ]
    )
    assert form["required_by_model"] == {"hour_meter": "0.4", "tractor.mass": "4200 kg"}


def test_an_erased_buyer_is_not_registered_any_more(yard: Yard) -> None:
    """The data is gone, and the registration says so by name."""
    unit = sold(yard)
    buyer = record_of(unit).buyer
    assert buyer is not None
    perform(ERASING, actor=yard.otto, target=UUID(buyer.id))
    request = made(unit, "registration")
    assert request.state == State.FAILED
    assert "buyer name and buyer address" in queue.failure_of(request, ENGLISH)


def test_the_registration_waits_for_the_certificate(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While it is still being made, the registration is tried again; given up, it is named."""
    unit = sold(yard)
    certificate = DocumentRequest.objects.get(kind="certificate")
    queue.cancel(certificate)
    request = made(unit, "registration")
    assert request.state == State.FAILED
    assert "The registration is missing: delivery certificate." in queue.failure_of(
        request, ENGLISH
    )
    queue.retry(certificate)
    with pytest.raises(NotYetError):
        document.build(request, lambda done, total: None)
    queue.retry(request)
    assert made(unit, "certificate").state == State.DONE
    assert made(unit, "registration").state == State.DONE


def test_a_changed_photograph_stops_the_bundle(yard: Yard) -> None:
    """What would not hold with the maker is not sent."""
    unit = sold(yard)
    file = Path(default_storage.path(PHOTO.file(Photo.objects.get().digest)))
    file.write_bytes(file.read_bytes()[:-1] + b"?")
    request = made(unit, "registration")
    assert request.state == State.FAILED
    assert "Damaged photos: 001-pitch-finish.jpg." in queue.failure_of(request, ENGLISH)


# Sent, refused, sent again


def test_a_resend_is_a_new_version_and_the_older_one_stays(yard: Yard, tmp_path: Path) -> None:
    """Sent, refused by the maker with a reason, made and sent again, accepted."""
    unit = sold(yard)
    first = made(unit, "registration")
    perform(SendRegistration(document=str(first.pk)), actor=yard.sol, target=unit)
    perform(
        AnswerRegistration(accepted=False, reason="hour meter missing"), actor=yard.sol, target=unit
    )
    asked = resend(actor=yard.sol, unit=unit)
    assert resend(actor=yard.sol, unit=unit) == asked
    second = made(unit, "registration")
    assert (second.pk, second.state) == (asked.pk, State.DONE)
    assert second.replaces == first
    form = json.loads(data_of(saved(second, tmp_path))["registration.json"])
    assert (form["version"], form["replaces"]) == (2, first.number)
    kinds = [
        json.loads(line)["kind"]
        for line in data_of(saved(second, tmp_path))["events.jsonl"].splitlines()
    ]
    assert "registration.answered" in kinds
    assert verdict(saved(second, tmp_path), published_key()).exit_code == 0
    with queue.open_file(first) as opened:
        assert opened.read(2) == b"PK"
    perform(SendRegistration(document=str(second.pk)), actor=yard.sol, target=unit)
    outcome = perform(AnswerRegistration(accepted=True), actor=yard.sol, target=unit)
    stands = standing(outcome.record, date(2026, 11, 25))
    assert (stands.state, stands.version) == ("accepted", 2)
    refused("already-accepted", resend, actor=yard.sol, unit=unit)


def test_only_the_office_and_the_desk_may_have_it_made_again(yard: Yard) -> None:
    """A technician is told who may; a stranger not even that the unit exists."""
    unit = sold(yard)
    refused("not-allowed", resend, actor=yard.ada, unit=unit)
    refused("no-such-unit", resend, actor=yard.outsider, unit=unit)
    refused("not-handed-over", resend, actor=yard.sol, unit=yard.prepared())
    assert DocumentRequest.objects.filter(kind="registration").count() == 1
