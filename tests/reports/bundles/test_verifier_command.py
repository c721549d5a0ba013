"""The verifier as a command: wrong usage, bare Pythons, exit codes."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

from reports.bundles import verifier
from tests.reports.bundles.invented_log import (
    PUBLISHED,
    bundle,
    check,
    with_key,
)


@pytest.mark.parametrize("arguments", [[], ["--nonsense"], ["nowhere.zip"]])
def test_wrong_usage_ends_with_3(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """So that a script can tell it from a bundle that does not hold."""
    with pytest.raises(SystemExit) as stop:
        verifier.main(arguments)
    assert stop.value.code == 3
    assert "usage:" in capsys.readouterr().err


@pytest.mark.parametrize(
    "content",
    [b"", b"PK", b"PK\x03\x04 not a zip", b"\xff\xfe", b"a\nb\nc\n", b"a\n1\nAAAA\n\nx\n"],
)
def test_a_file_of_another_kind_does_not_hold(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], content: bytes
) -> None:
    """A sentence, not a traceback."""
    path = tmp_path / "what"
    path.write_bytes(content)
    code, words = check(capsys, *with_key(path))
    assert code == 1
    assert "DOES NOT HOLD" in words


@pytest.mark.parametrize(
    "key", ["", "x", "a+b+c", PUBLISHED[:-1], PUBLISHED.replace("yard", "lard"), PUBLISHED + "\x1b"]
)
def test_a_key_copied_wrong_is_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], key: str
) -> None:
    """Nothing in it reaches the terminal as a command."""
    code, words = check(capsys, bundle(tmp_path), "--key", key)
    assert code == 1
    assert "This is not" in words
    assert "\x1b" not in words


def test_the_verifier_needs_nothing_but_python(tmp_path: Path) -> None:
    """It imports the standard library, and one package that may be missing."""
    source = Path(verifier.__file__)
    imported = set()
    for node in ast.walk(ast.parse(source.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            imported |= {name.name.split(".")[0] for name in node.names}
        elif isinstance(node, ast.ImportFrom):
            imported.add(str(node.module).split(".")[0])
    assert imported - set(sys.stdlib_module_names) == {"cryptography"}


def test_the_verifier_is_written_for_python_3_9() -> None:
    """No syntax, and of what it calls nothing with a parameter, that came later."""
    source = Path(verifier.__file__).read_text(encoding="utf-8")
    tree = ast.parse(source, feature_version=(3, 9))
    called = [node for node in ast.walk(tree) if isinstance(node, ast.Call)]
    named = {(getattr(node.func, "id", ""), word.arg) for node in called for word in node.keywords}
    assert ("zip", "strict") not in named
    assert "file_digest" not in source
    assert not any(isinstance(node, ast.Match) for node in ast.walk(tree))


def test_the_file_runs_alone_on_a_bare_python(tmp_path: Path) -> None:
    """Copied out of the project, isolated from every installed package."""
    script = tmp_path / "verifier.py"
    script.write_bytes(Path(verifier.__file__).read_bytes())
    path = bundle(tmp_path)
    command = [sys.executable, "-I", "-S", str(script), str(path), "--key", PUBLISHED]
    ran = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (ran.returncode, ran.stderr) == (2, "")
    assert "All 4 events stand in the log, unchanged." in ran.stdout
    assert "this Python lacks the package `cryptography`" in ran.stdout
    assert ran.stdout.splitlines()[-1] == verifier.VERDICTS[2]
