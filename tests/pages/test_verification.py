"""Everything verified from the auditor's page: one button, then progress, then the result."""

from email.message import EmailMessage
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from prep.actions import sealing
from prep.models import Unit
from reports import queue
from reports.models import DocumentRequest
from tests.cast import PASSWORD, Yard
from tests.stored_files import own_folders

ASK = "/audit/verification"


@pytest.fixture(autouse=True)
def _set_up(settings: Any, tmp_path: Path) -> None:
    """Keys and files lie in a folder of the test."""
    own_folders(settings, tmp_path)


def enter(name: str) -> Client:
    """A browser in which somebody is signed in."""
    client = Client()
    assert client.login(username=name, password=PASSWORD)
    return client


def test_an_auditor_presses_one_button_and_reads_the_result(yard: Yard) -> None:
    """The page looks again by itself while it is made, and not once it is."""
    yard.started()
    checkpoint = sealing.seal()
    assert checkpoint is not None
    client = enter("rhea-north")
    assert "Verify everything now" in client.get("/audit/").content.decode()
    typed = checkpoint.note.replace("\n", "\r\n")  # as a browser sends a text field
    sent = client.post(ASK, {"command": str(uuid4()), "older": typed})
    waiting = client.get(sent["Location"])
    assert (sent.status_code, waiting["Refresh"]) == (302, "2")
    assert "Waiting for its turn." in waiting.content.decode()
    queue.run_due()
    done = client.get(sent["Location"])
    page = done.content.decode()
    assert "Refresh" not in done
    assert "Everything checked is as it was recorded." in page
    assert "1 checkpoint from outside agrees with this log" in page
    assert f"{checkpoint.size} entries under the newest signed root" in page
    assert sent["Location"] in client.get("/audit/").content.decode()
    request = DocumentRequest.objects.get()
    assert request.parameters == {"older": checkpoint.note, "language": "en"}
    file: Any = client.get(f"/documents/{request.pk}")
    assert file.getvalue().startswith(b'{\n  "kind": "verification"')


def test_what_was_altered_is_read_on_the_page_with_what_to_do(yard: Yard) -> None:
    """By kind, in sentences; and not to put it right by hand."""
    unit = yard.started()
    Unit.objects.filter(pk=unit).update(place="row 9")
    client = enter("rhea-north")
    sent = client.post(ASK, {"command": str(uuid4())})
    queue.run_due()
    page = client.get(sent["Location"]).content.decode()
    assert "Not everything is as it was recorded." in page
    assert "“place” is &#x27;row 9&#x27;; the log says &#x27;&#x27;." in page
    assert "Do not fix anything by hand." in page


def test_sent_twice_it_is_verified_once(yard: Yard) -> None:
    """A second tap leads to the same page."""
    client, command = enter("rhea-north"), str(uuid4())
    places = {client.post(ASK, {"command": command})["Location"] for _ in range(2)}
    assert len(places) == 1
    assert DocumentRequest.objects.count() == 1


def test_a_technician_has_no_button_and_is_refused(yard: Yard) -> None:
    """And sees nobody else's verification."""
    asked = enter("rhea-north").post(ASK, {"command": str(uuid4())})["Location"]
    client = enter("ada-north")
    assert "Verify everything now" not in client.get("/audit/").content.decode()
    refused = client.post(ASK, {"command": str(uuid4())})
    assert refused.status_code == 403
    assert "Only an administrator or an auditor may do this." in refused.content.decode()
    assert client.get(asked).status_code == 404
    assert DocumentRequest.objects.count() == 1


def test_mails_and_files_with_checkpoints_are_taken_up(yard: Yard) -> None:
    """A forwarded mail and a text file at once; what holds none is refused, and so is a big one."""
    yard.started()
    first = sealing.seal()
    yard.started()
    second = sealing.seal()
    assert first is not None
    assert second is not None
    mail = EmailMessage()
    mail["Subject"] = "Fwd: checkpoint"
    mail.set_content("> " + first.note.replace("\n", "\n> "))
    files = [
        SimpleUploadedFile("kept.eml", mail.as_bytes()),
        SimpleUploadedFile("kept.txt", second.note.encode()),
    ]
    client = enter("rhea-north")
    sent = client.post(ASK, {"command": str(uuid4()), "files": files})
    queue.run_due()
    page = client.get(sent["Location"]).content.decode()
    assert "2 checkpoints from outside agree with this log" in page
    for content, said in (
        (b"no checkpoint", "There is no signed checkpoint in this."),
        (b"x" * (5 * 1024 * 1024 + 1), "This file is larger than 5 MB."),
    ):
        files = [SimpleUploadedFile("other.txt", content)]
        refused = client.post(ASK, {"command": str(uuid4()), "files": files})
        assert refused.status_code == 400
        assert said in refused.content.decode()
    assert DocumentRequest.objects.count() == 1
