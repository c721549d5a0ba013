"""Where the document of a number stands: every kind, in every state, and nothing personal."""

from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

import msgspec
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from prep.actions.perform import perform
from prep.models import Buyer, Event
from prep.record.buyer.commands import AmendBuyer
from prep.record.unit.commands.releases import HoldUnit, ReopenUnit
from prep.words.reader import ENGLISH, Reader
from reports import queue
from reports.document_check.answers import NumberAnswer, Standing
from reports.document_check.numbers import check_number
from reports.labels.sizes import SIZES
from reports.models import DocumentRequest
from reports.numbers import drawn_number
from tests.cast import Yard
from tests.reports.sold_units import ADDRESS, BUYER, RECIPIENT, made, quick_certificates, sold
from tests.stored_files import own_folders

WHY = "Mr. Fen found a loose bolt"


@pytest.fixture(autouse=True)
def _set_up(settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Files lie in a folder of the test; certificates are short."""
    own_folders(settings, tmp_path)
    quick_certificates(monkeypatch)


def ask(yard: Yard, kind: str, unit: UUID | None = None, **parameters: Any) -> DocumentRequest:
    """A document that somebody asked for, made."""
    actor = yard.rhea if kind in {"audit", "verification"} else yard.ada
    if kind == "labels":
        parameters["size"] = next(iter(SIZES))
    asked = queue.ask(actor=actor, kind=kind, command=uuid4(), unit=unit, parameters=parameters)
    queue.run_due()
    queue.catch_up()
    asked.refresh_from_db()
    assert asked.state == "done", asked.failure
    return asked


def check(document: DocumentRequest) -> NumberAnswer:
    """What anybody is told of a document's number."""
    return check_number(document.number, ENGLISH)


def released(yard: Yard) -> tuple[UUID, DocumentRequest]:
    """A released unit, and its certificate."""
    unit = yard.ready()
    return unit, certificate(yard, unit)


def certificate(yard: Yard, unit: UUID) -> DocumentRequest:
    """The certificate of a unit that Mira releases."""
    yard.release(unit)
    queue.catch_up()
    document = made(unit, "certificate")
    queue.catch_up()
    return document


def reopen(yard: Yard, unit: UUID) -> None:
    """Mira withdraws a release."""
    perform(ReopenUnit(reason=WHY, nothing_because="A slip."), actor=yard.mira, target=unit)


@pytest.mark.parametrize("kind", ["certificate", "registration", "labels", "sheet"])
def test_a_document_of_a_unit_is_genuine(yard: Yard, kind: str) -> None:
    """With the machine it is of, its yard, its file and its place in the log."""
    if kind == "sheet":
        unit = yard.started()
        document = ask(yard, kind, unit)
    else:
        unit = sold(yard)
        document = ask(yard, kind, unit) if kind == "labels" else made(unit, kind)
        queue.catch_up()
    answer = check(document)
    assert (answer.standing, answer.number) == (Standing.GENUINE, document.number)
    shown = answer.document
    assert shown is not None
    assert (shown.kind, shown.digest, shown.bytes) == (kind, document.digest, document.bytes)
    assert shown.dealership == "Invented Implements"
    assert shown.serial
    assert shown.position is not None
    assert shown.position < shown.size


@pytest.mark.parametrize("kind", ["labels", "audit", "verification"])
def test_a_document_of_several_units_or_of_none_is_genuine(yard: Yard, kind: str) -> None:
    """Its event lies in a stream of its own."""
    units = [str(yard.started()) for _ in range(2)]
    covered: dict[str, Any] = {} if kind == "verification" else {"units": units}
    document = ask(yard, kind, **covered)
    answer = check(document)
    assert answer.standing is Standing.GENUINE
    assert answer.document is not None
    assert (answer.document.serial, answer.document.dealership) == ("", "Invented Implements")
    assert "plate" not in answer.advice


def test_any_spelling_finds_it(yard: Yard) -> None:
    """And the answer names its one spelling."""
    _, document = released(yard)
    spelled = "-".join(document.number.lower().replace("0", "o"))
    assert check_number(spelled, ENGLISH) == check(document)


def test_a_withdrawn_release_is_said_first_without_what_was_typed(yard: Yard) -> None:
    """The reason may name somebody."""
    unit, document = released(yard)
    reopen(yard, unit)
    answer = check(document)
    assert (answer.standing, answer.sentence) == (
        Standing.WITHDRAWN,
        "Withdrawn. Do not rely on this document.",
    )
    assert "Fen" not in msgspec.json.encode(answer).decode()


def test_a_replaced_certificate_names_the_newest_in_its_place(yard: Yard) -> None:
    """Twice replaced, the first leads to the third."""
    unit, first = released(yard)
    for _ in range(2):
        reopen(yard, unit)
        newest = certificate(yard, unit)
    answer = check(first)
    assert answer.standing is Standing.REPLACED
    assert answer.document is not None
    assert answer.document.replaced_by == newest.number
    assert newest.number in answer.sentence
    assert check(newest).standing is Standing.GENUINE


def test_a_replaced_one_whose_successor_is_withdrawn_too_says_withdrawn(yard: Yard) -> None:
    """Nobody is led on by a number that is worth no more."""
    unit, first = released(yard)
    reopen(yard, unit)
    certificate(yard, unit)
    reopen(yard, unit)
    assert check(first).standing is Standing.WITHDRAWN


def test_a_certificate_is_out_of_date_while_its_unit_is_on_hold(yard: Yard) -> None:
    """Somebody stopped it after the release, and its machine is not to be delivered."""
    unit, document = released(yard)
    perform(HoldUnit(reason=WHY), actor=yard.ada, target=unit)
    answer = check(document)
    assert answer.standing is Standing.OUT_OF_DATE
    assert "Fen" not in msgspec.json.encode(answer).decode()


def test_a_registration_is_out_of_date_once_the_buyer_was_corrected(yard: Yard) -> None:
    """Until its next version is made, which replaces it."""
    unit = sold(yard)
    document = made(unit, "registration")
    perform(AmendBuyer(name="Fenn Farm (invented)"), actor=yard.sol, target=Buyer.objects.get().pk)
    assert check(document).standing is Standing.OUT_OF_DATE


def test_nothing_personal_is_told(yard: Yard) -> None:
    """No buyer, no recipient, nobody who signed."""
    unit = sold(yard)
    for kind in ("certificate", "registration"):
        told = msgspec.json.encode(check(made(unit, kind))).decode()
        for name in (BUYER, RECIPIENT, *ADDRESS.split("\n"), "Mira", "Ada", "Sol"):
            assert name not in told


def test_a_number_that_was_never_issued_is_unknown(yard: Yard) -> None:
    """Well formed, so it is no typing mistake."""
    answer = check_number(drawn_number("C", "never"), ENGLISH)
    assert (answer.standing, answer.document) == (Standing.UNKNOWN, None)
    assert answer.sentence.startswith("No document with this number was issued here.")


def test_a_typing_mistake_is_told_from_an_unknown_number(yard: Yard) -> None:
    """With the numbers it may have been, whether they were issued or not."""
    _, document = released(yard)
    number = document.number
    for right in (number, drawn_number("C", "never")):
        place = next(at for at in range(1, 11) if right[at] != right[at + 1])
        swapped = right[:place] + right[place + 1] + right[place] + right[place + 2 :]
        answer = check_number(swapped, ENGLISH)
        assert (answer.standing, answer.document) == (Standing.MISSPELLED, None)
        assert right in answer.likely


def test_a_number_being_made_is_unknown(yard: Yard) -> None:
    """Only what the log holds was issued."""
    _, document = released(yard)
    DocumentRequest.objects.filter(pk=document.pk).update(state="working")
    assert check(document).standing is Standing.UNKNOWN


def test_a_row_that_the_log_does_not_bear_out_is_unknown(yard: Yard) -> None:
    """A row that somebody changed to another number or another file."""
    _, document = released(yard)
    other = drawn_number("C", "forged")
    DocumentRequest.objects.filter(pk=document.pk).update(number=other)
    assert check_number(other, ENGLISH).standing is Standing.UNKNOWN
    DocumentRequest.objects.filter(pk=document.pk).update(number=document.number, digest="0" * 64)
    assert check(document).standing is Standing.UNKNOWN


def test_one_question_reads_no_more_for_many_documents(yard: Yard) -> None:
    """By the index of numbers, and the one of commands."""
    _, document = released(yard)
    with CaptureQueriesContext(
        connection,
    ) as few:
        check(document)
    for _ in range(5):
        yard.started()
        released(yard)
    with CaptureQueriesContext(connection) as many:
        check(document)
    assert len(many) == len(few)
    assert not any("LIKE" in one["sql"] for one in many.captured_queries)


def test_every_reader_is_told_the_same_tokens(yard: Yard) -> None:
    """The words differ, the tokens do not."""
    unit, document = released(yard)
    reopen(yard, unit)
    answers = [check_number(document.number, Reader(language=one)) for one in ("en", "es", "fr")]
    assert {one.standing for one in answers} == {Standing.WITHDRAWN}
    assert Event.objects.filter(kind="document.issued").count() == 1
