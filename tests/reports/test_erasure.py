"""A buyer's personal data erased: nothing of them is left, and every proof stays whole."""

from datetime import timedelta
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.management import call_command
from django.utils import timezone

from prep.actions.beside_the_log.pictures import PHOTO, read_picture
from prep.actions.perform import perform
from prep.actions.readings.personal import How
from prep.actions.submission import Submission
from prep.models import Buyer, Event, FormerParticulars, Photo, Recipient
from prep.queries.records import record_of
from prep.record.buyer.commands import AmendBuyer, HoldBuyer, LiftBuyerHold
from prep.record.refusal import Refusal
from prep.record.unit.commands.photos import AttachPhoto
from prep.verify.run import verify
from prep.words.reader import ENGLISH
from prep.words.verification.statements import statement_text
from reports import queue
from reports.bundles import verifier
from reports.document_check.numbers import check_number
from reports.holdings import personal_in
from reports.models import DocumentRequest, Holding, State
from reports.queue import remaking, worker
from tests.cast import ERASING, PIN, Yard
from tests.refusals import refused
from tests.reports.registration_bundles import data_of, published_key, verdict
from tests.reports.sold_units import (
    BUYER,
    RECIPIENT,
    buyer_with_address,
    hand_over,
    made,
    saved,
)
from tests.stored_files import own_folders, picture

PEOPLE = 200  # the shade of the photo that shows people


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path) -> None:
    own_folders(settings, tmp_path)


@pytest.fixture
def sold(yard: Yard) -> UUID:
    """A unit handed over, with a photo that shows people; all its documents are made."""
    buyer = buyer_with_address(yard)
    unit = ready_for_with_people(yard, buyer)
    yard.release(unit)
    hand_over(yard, unit)
    queue.catch_up()
    queue.run_due()
    return unit


def ready_for_with_people(yard: Yard, buyer: Buyer) -> UUID:
    """A unit ready for a buyer; on one of its photos somebody can be recognized."""
    unit = yard.started()
    yard.block_deck(unit)
    yard.torque_blades(unit)
    yard.take(unit, "pitch", "front", "4 in")
    yard.take(unit, "pitch", "finish", "good")
    for shade, people in ((PEOPLE, True), (90, False)):
        photo = AttachPhoto(step="pitch", line="finish", people=people)
        perform(photo, actor=yard.ada, target=unit, attachment=picture(shade))
    yard.sign(unit, "pitch")
    yard.assign(unit, buyer=buyer)
    yard.match_tractor(unit)
    return unit


def erase(yard: Yard, **more: Any) -> Any:
    """Otto erases the one buyer."""
    return perform(ERASING, actor=yard.otto, target=Buyer.objects.get().pk, **more)


def audit(yard: Yard, **parameters: Any) -> DocumentRequest:
    """An audit bundle of the whole yard."""
    asked = queue.ask(actor=yard.rhea, kind="audit", command=uuid4(), parameters=parameters)
    queue.run_due()
    asked.refresh_from_db()
    assert asked.state == State.DONE, asked.failure
    return asked


def document(unit: UUID, kind: str) -> DocumentRequest:
    """The document of a kind of a unit."""
    return DocumentRequest.objects.get(unit=unit, kind=kind)


def people_as_kept() -> bytes:
    """The photo that shows people, drawn anew as it is kept."""
    return read_picture(picture(PEOPLE)).large.content


def everything_kept(folder: Path) -> bytes:
    """Every byte of every stored file, unpacked where it is a bundle."""
    whole = b""
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            content = path.read_bytes()
            whole += b"".join(data_of(path).values()) if content[:2] == b"PK" else content
    return whole


def test_nothing_of_the_buyer_is_left_and_every_proof_holds(
    yard: Yard, sold: UUID, settings: Any
) -> None:
    """Rows, former details, recipient, photo, files: gone. The log and its digests: whole."""
    perform(AmendBuyer(phone="555 0100"), actor=yard.sol, target=Buyer.objects.get().pk)
    audit(yard)
    assert FormerParticulars.objects.exists()
    shown = everything_kept(Path(settings.MEDIA_ROOT))
    assert BUYER.encode() in shown
    assert people_as_kept() in shown
    before = {d.pk: (d.number, d.digest) for d in DocumentRequest.objects.all()}
    erase(yard)
    queue.catch_up()
    buyer, recipient = Buyer.objects.get(), Recipient.objects.get()
    assert (buyer.name, buyer.address, buyer.phone, buyer.salt) == ("(erased)", "", "", "")
    assert (recipient.name, recipient.salt) == ("(erased)", "")
    assert not FormerParticulars.objects.exists()
    left = everything_kept(Path(settings.MEDIA_ROOT))
    assert BUYER.encode() not in left
    assert RECIPIENT.encode() not in left
    assert people_as_kept() not in left
    assert read_picture(picture(90)).large.content in left
    assert {d.pk: (d.number, d.digest) for d in DocumentRequest.objects.all()} == before
    erased = DocumentRequest.objects.exclude(erased=None).values_list("kind", flat=True)
    assert sorted(erased) == ["audit", "certificate", "registration"]
    report = verify()
    assert report.findings == []
    said = [statement_text(one.code, one.values, ENGLISH) for one in report.proved]
    assert (
        "The details of 1 buyer were erased as the log says, and nothing of them is left." in said
    )
    assert (
        "The files of 3 documents were erased for the personal data in them, as the log says; "
        "their numbers and digests stay."
    ) in said


def test_what_was_handed_out_before_still_verifies_and_its_number_is_known(
    yard: Yard, sold: UUID, tmp_path: Path
) -> None:
    """Whoever holds it proves it without us; whoever asks for the number is told the day."""
    bundle = saved(made(sold, "registration"), tmp_path)
    erase(yard)
    queue.catch_up()
    assert verdict(bundle, published_key()).fails() == 0
    number = document(sold, "certificate").number
    answer = check_number(number, ENGLISH)
    today = timezone.now().astimezone(timezone.get_fixed_timezone(-360))
    assert answer.standing == "erased"
    assert answer.sentence.startswith("Issued here by Invented Implements; its file was erased on ")
    assert str(today.year) in answer.sentence
    assert answer.document is not None
    assert answer.document.serial == record_of(sold).serial


def test_an_audit_after_the_erasure_says_what_is_missing_and_holds(
    yard: Yard, sold: UUID, tmp_path: Path
) -> None:
    """Of today, and of the day before it: the files are listed as erased, with their digests."""
    yesterday = timezone.now()
    erase(yard)
    queue.catch_up()
    for known_at in (None, yesterday):
        asked = {"known_at": known_at.isoformat()} if known_at else {}
        bundle = saved(audit(yard, **asked), tmp_path)
        findings = verdict(bundle, published_key())
        assert findings.fails() == 0
        codes = [one.code for one in findings.all()]
        assert codes.count("named-file-erased") == 2  # the certificate, and the photo of people
        listed = data_of(bundle)["erased.csv"].decode()
        assert document(sold, "certificate").digest in listed
        assert not any(map(personal_in, DocumentRequest.objects.filter(kind="audit")))


class OneFile:
    """The files of a bundle that has one."""

    def __init__(self, name: str, content: str) -> None:
        self.name, self.content = name, content

    def __contains__(self, name: str) -> bool:
        return name == self.name

    def text(self, name: str) -> str:
        """The one file."""
        return self.content


def test_an_erased_file_that_no_event_names_is_found() -> None:
    """Negative control: nobody excuses a file by calling it erased."""
    listed = f"file,sha256 in the log\r\nphotos/001-x.png,{'0' * 64}\r\n"
    bundle: Any = object.__new__(verifier.Bundle)
    bundle.files, bundle.findings = OneFile("data/erased.csv", listed), verifier.Findings()
    wanted = {"data/photos/001-x.png": "1" * 64}
    bundle._pass_over_erased(wanted)
    assert wanted == {"data/photos/001-x.png": "1" * 64}
    assert [one.code for one in bundle.findings.all()] == ["erased-foreign"]


def test_nobody_opens_it_from_the_moment_of_the_erasure(yard: Yard, sold: UUID) -> None:
    """Before any worker has deleted a file; and it is not made again."""
    certificate = document(sold, "certificate")
    erase(yard)
    with pytest.raises(Refusal) as no:
        queue.open_for(yard.sol, certificate, How.PAGE)
    assert no.value.code == "document-erased"
    queue.catch_up()
    certificate.refresh_from_db()
    refused("document-erased", queue.remake, certificate, yard.mira)
    assert not default_storage.exists(str(certificate.file))


def test_erased_twice_and_sent_twice_it_counts_once(yard: Yard, sold: UUID) -> None:
    """The second wish is refused; the same command again is the first outcome."""
    same = Submission()
    erase(yard, submission=same)
    assert erase(yard, submission=same).repeated
    refused("buyer-erased", erase, yard)
    queue.catch_up()
    queue.catch_up()
    assert Event.objects.filter(kind="document.erased").count() == 2
    assert Event.objects.filter(kind="unit.personal_erased").count() == 1


def test_a_legal_hold_stops_it_until_it_is_lifted(yard: Yard, sold: UUID) -> None:
    """With its reason, by an administrator's PIN; nobody else may hold or lift."""
    buyer = Buyer.objects.get().pk
    hold = HoldBuyer(reason="Court order 7 (invented)", pin=PIN)
    refused("not-allowed", perform, hold, actor=yard.mira, target=buyer)
    refused(
        "no-legal-hold", perform, LiftBuyerHold(reason="r", pin=PIN), actor=yard.otto, target=buyer
    )
    perform(hold, actor=yard.otto, target=buyer)
    no = refused("on-legal-hold", erase, yard)
    assert no.details == {"reason": "Court order 7 (invented)"}
    refused("on-legal-hold", perform, hold, actor=yard.otto, target=buyer)
    perform(AmendBuyer(phone="555 0100"), actor=yard.sol, target=buyer)
    refused("on-legal-hold", erase, yard)
    assert verify().findings == []
    Buyer.objects.update(held="")
    assert [one.code for one in verify().findings] == ["buyer-hold-altered"]
    Buyer.objects.update(held="Court order 7 (invented)")
    refused(
        "not-allowed", perform, LiftBuyerHold(reason="r", pin=PIN), actor=yard.mira, target=buyer
    )
    perform(LiftBuyerHold(reason="Settled (invented)", pin=PIN), actor=yard.otto, target=buyer)
    erase(yard)
    assert Buyer.objects.get().erased is not None


def test_a_document_finished_while_the_buyer_is_erased_is_not_kept(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its builder had read the name already; the file that it made is gone with the refusal."""
    unit = ready_for_with_people(yard, buyer_with_address(yard))
    yard.release(unit)
    hand_over(yard, unit)
    queue.catch_up()
    finish = worker._finish

    def erased_first(request: DocumentRequest, *args: Any) -> None:
        if request.kind == "certificate":
            erase(yard)
        finish(request, *args)

    monkeypatch.setattr(worker, "_finish", erased_first)
    queue.run_due()
    certificate = document(unit, "certificate")
    assert certificate.state == State.FAILED
    assert "erased-meanwhile" in str(certificate.failure)
    assert not Holding.objects.exists()
    assert verify().findings == []


def test_a_lost_file_put_back_while_the_buyer_is_erased_is_not_kept(
    yard: Yard, sold: UUID, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The erasure came between making it again and putting it back."""
    certificate = document(sold, "certificate")
    default_storage.delete(str(certificate.file))
    job = queue.remake(certificate, yard.mira)
    put_back = remaking._put_back

    def erased_first(*args: Any) -> None:
        erase(yard)
        queue.catch_up()
        put_back(*args)

    monkeypatch.setattr(remaking, "_put_back", erased_first)
    queue.remake_until_done(job)
    job.refresh_from_db()
    assert job.state == State.FAILED
    assert "document-erased" in str(job.failure)
    assert verify().findings == []


def test_a_file_that_came_back_from_a_backup_is_found_and_goes_again(
    yard: Yard, sold: UUID
) -> None:
    """Verification names it; the erasures of the log, done again, delete it."""
    photo, certificate = Photo.objects.get(people=True), document(sold, "certificate")
    names = [PHOTO.file(photo.digest), str(certificate.file)]
    kept = {name: Path(default_storage.path(name)).read_bytes() for name in names}
    rows = list(Buyer.objects.values()), list(Recipient.objects.values())
    erase(yard)
    queue.catch_up()
    for name, content in kept.items():
        default_storage.save(name, ContentFile(content))
    Buyer.objects.update(**rows[0][0])
    Recipient.objects.update(**rows[1][0])
    Photo.objects.update(erased=None)
    DocumentRequest.objects.update(erased=None)
    assert {one.code for one in verify().findings} == {
        "buyer-not-erased",
        "document-file-unreadable",  # of the one that the backup did not have
        "recipient-called-erased",
        "row-altered",
    }
    call_command("erase_again")
    assert verify().findings == []
    assert (Buyer.objects.get().name, Recipient.objects.get().name) == ("(erased)", "(erased)")
    for name in kept:
        assert not default_storage.exists(name)


def test_stock_certificates_without_anybody_in_them_stay(yard: Yard) -> None:
    """A unit that was released for stock has no buyer to erase."""
    unit = yard.prepared()
    yard.release(unit)
    queue.catch_up()
    queue.run_due()
    certificate = document(unit, "certificate")
    assert not Holding.objects.filter(document=certificate).exists()
    with queue.open_for(yard.ada, certificate, How.PAGE) as opened:
        assert opened.read(4) == b"%PDF"
    assert timezone.now() - certificate.created < timedelta(hours=1)
