"""`manage.py publish` and `check_procedure`: the same checks at the console."""

from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from prep.models import Event, ProcedureRevision
from tests.cast import DOCUMENTS, Yard


def run(*words: str) -> str:
    """What the command prints."""
    output = StringIO()
    call_command(*words, stdout=output)
    return output.getvalue()


@pytest.fixture
def second(tmp_path: Path) -> Path:
    """The procedure of the tests as revision 2."""
    path = tmp_path / "second.yaml"
    text = (DOCUMENTS / "procedure.yaml").read_text().replace("revision: 1", "revision: 2", 1)
    path.write_text(text)
    return path


def test_a_sound_document_is_checked_and_nothing_is_published(yard: Yard, second: Path) -> None:
    """What publishing would do, undone."""
    before = Event.objects.count()
    assert "TC-SETUP revision 2, sound. Digest " in run("check_procedure", str(second))
    assert Event.objects.count() == before
    run("publish", str(second), "--by", yard.otto.username)
    assert ProcedureRevision.objects.filter(revision=2).exists()
    with pytest.raises(CommandError, match="Revision 2 is in force and never changes"):
        run("check_procedure", str(second))


@pytest.mark.parametrize("command", ["check_procedure", "publish"])
def test_every_problem_is_a_line_with_its_place(yard: Yard, second: Path, command: str) -> None:
    """Both commands say the same."""
    wrong = second.read_text().replace("kind: torque\n", "kind: tourque\n")
    second.write_text(wrong.replace("5 %", "5 psi", 1))
    words = [str(second), *(("--by", yard.otto.username) if command == "publish" else ())]
    with pytest.raises(CommandError) as refused:
        run(command, *words)
    first, *problems = str(refused.value).splitlines()
    assert first == f"{second}: 2 problems"
    assert problems[0].startswith(
        "  line 29, column 15, section deck › step blades › kind: “tourque”"
    )
    assert len(problems) == 2


def test_more_problems_than_one_reads_are_counted(yard: Yard, second: Path) -> None:
    """Fifty, and how many more there are."""
    lines = "".join(f"          - {{line: l{n}, ask: a, kind: b}}\n" for n in range(60))
    second.write_text(
        second.read_text().replace(
            "          - line: finish\n", lines + "          - line: finish\n"
        )
    )
    with pytest.raises(CommandError) as refused:
        run("check_procedure", str(second))
    printed = str(refused.value).splitlines()
    assert printed[0].endswith("60 problems")
    assert len(printed) == 52
    assert printed[-1] == "  and 10 more"


def test_a_file_that_cannot_be_read_is_named(yard: Yard, tmp_path: Path) -> None:
    """None, and one that is no text."""
    with pytest.raises(CommandError, match=r"nothing\.yaml"):
        run("check_procedure", str(tmp_path / "nothing.yaml"))
    (tmp_path / "a.yaml").write_bytes(b"a: \xff")
    with pytest.raises(CommandError, match="is not text in UTF-8"):
        run("check_procedure", str(tmp_path / "a.yaml"))
