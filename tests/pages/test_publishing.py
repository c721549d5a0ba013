"""The page that publishes a document: faults beside its lines, a dry run, then the real thing."""

import re
from pathlib import Path
from typing import Final
from uuid import uuid4

from django.core.files.uploadedfile import SimpleUploadedFile

from prep.models import Event, MachineModel, ProcedureRevision
from tests.cast import DOCUMENTS, Yard
from tests.pages.visitor import Enter, post

MODELS: Final = Path(__file__).parents[2] / "fixtures" / "models"
SECOND: Final = (DOCUMENTS / "procedure.yaml").read_text().replace("revision: 1", "revision: 2", 1)
WRONG: Final = SECOND.replace("kind: torque\n", "kind: tourque\n").replace("5 %", "5 psi", 1)


def counts() -> tuple[int, int, int]:
    """What publishing adds to."""
    return Event.objects.count(), ProcedureRevision.objects.count(), MachineModel.objects.count()


def plain(page: str) -> str:
    """A page without tags, spaces as one."""
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page))


def test_faults_stand_beside_their_lines_and_nothing_is_published(yard: Yard, enter: Enter) -> None:
    """Each with the words that may stand there."""
    before = counts()
    page = post(enter(yard.mira), "/publish/", 422, act="check", document=WRONG)
    text = plain(page)
    assert "2 problems. Nothing was published." in text
    assert re.search(
        r"29 kind: tourque “tourque” is not one of the choices. Use one of: torque", text
    )
    assert "“psi” in “5 psi” is not a unit of torque." in text
    assert "section deck › step blades › line torque › limit › tolerance" in text
    assert "Publish it" not in page
    assert counts() == before


def test_a_sound_document_is_shown_and_then_published_once(yard: Yard, enter: Enter) -> None:
    """The dry run changes nothing; the button, pressed twice, publishes one revision."""
    client, before = enter(yard.mira), counts()
    shown = plain(post(client, "/publish/", 200, act="check", document=SECOND))
    assert "Procedure TC-SETUP, revision 2: no problems found." in shown
    assert "Compared with the revision in force" in shown
    assert counts() == before
    command = str(uuid4())
    for _ in range(2):
        post(client, "/publish/", act="publish", document=SECOND, command=command)
    assert counts() == (before[0] + 1, before[1] + 1, before[2])
    again = post(client, "/publish/", 422, act="publish", document=SECOND)
    assert "Revision 2 is in force and never changes." in plain(again)


def test_a_model_is_published_from_a_file(yard: Yard, enter: Enter) -> None:
    """As an editor saves it, with a byte order mark."""
    client = enter(yard.otto)
    content = (DOCUMENTS / "tractor.yaml").read_text().replace("T-90", "T-95").encode("utf-8-sig")
    post(client, "/publish/", act="publish", file=SimpleUploadedFile("t.yaml", content))
    assert MachineModel.objects.get(pk="T-95").sort == "tractor"


def test_a_model_that_would_break_a_procedure_names_it(yard: Yard, enter: Enter) -> None:
    """With its step."""
    wrong = (DOCUMENTS / "model.yaml").read_text().replace("revision: 1", "revision: 2", 1)
    wrong = wrong.replace("blade_bolt_torque: 450 ft·lbf", "blade_bolt_torque: ninety")
    page = plain(post(enter(yard.mira), "/publish/", 422, act="publish", document=wrong))
    assert "TC-SETUP, revision 1, step “blades”, would no longer work." in page


def test_only_who_may_publish_finds_the_page(yard: Yard, enter: Enter) -> None:
    """A technician is offered nothing, and gets nothing."""
    assert "/publish/" in enter(yard.mira).get("/lists/").content.decode()
    client = enter(yard.ada)
    assert "/publish/" not in client.get("/lists/").content.decode()
    assert client.get("/publish/").status_code == 404
    before = counts()
    post(client, "/publish/", 404, act="publish", document=SECOND)
    assert counts() == before


def test_what_is_no_document_is_said_so(yard: Yard, enter: Enter) -> None:
    """Nothing, a picture, a file beyond the bound."""
    client = enter(yard.mira)
    assert "The document is empty." in plain(post(client, "/publish/", 422, document=""))
    picture = SimpleUploadedFile("a.yaml", b"\x89PNG\r\n\x1a\n\x00\xff")
    assert "UTF-8" in plain(post(client, "/publish/", 422, file=picture))
    large = SimpleUploadedFile("a.yaml", b"a: " + b"x" * 900_000)
    assert "more than 900 kB" in plain(post(client, "/publish/", 422, file=large))


def test_a_model_of_an_unknown_manufacturer_is_refused_and_says_which(
    yard: Yard, enter: Enter
) -> None:
    """A new dealership meets this first: its list of manufacturers is empty."""
    model = (MODELS / "lf-rc15.yaml").read_text(encoding="utf-8")
    sent = model.replace("maker: Larkfield Implements", "maker: Nowhere Works")
    page = plain(post(enter(yard.mira), "/publish/", 422, act="check", document=sent))
    assert "“Nowhere Works” is not in the list of manufacturers." in page
