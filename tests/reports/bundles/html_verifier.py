"""verify.html, opened from a file in a browser without a network, beside verifier.py."""

import json
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Browser, Page

from reports.bundles import verifier
from tests.reports.bundles.invented_log import (
    PUBLISHED,
)

PAGE: Final = Path(verifier.__file__).with_name("verify.html")
Finding = tuple[str, str, str, int, str]
# What is said otherwise, because a browser is no command: options to type, and the errors of
# another library.
OTHERWISE: Final = {
    "certificate-key-inside",
    "key-inside",
    "no-ed25519",
    "not-opened",
    "not-readable",
    "older-no-proof",
    "only-kept-elsewhere",
    "table-unreadable",
    "zip-repacked",
}
ONLY_HERE: Final = {"browser-too-small", "nothing-to-check"}
ONLY_THERE: Final = {"folder-renamed", "issue-folder", "link"}


@pytest.fixture(scope="module")
def page(browser: Browser) -> Iterator[Page]:
    """A browser without a network, for all tests of this file; the page throws no error."""
    context = browser.new_context(offline=True)
    wrong: list[str] = []
    opened = context.new_page()
    opened.on("pageerror", lambda error: wrong.append(str(error)))
    yield opened
    context.close()
    assert wrong == []


def found_by(outcome: dict[str, Any]) -> tuple[int, list[Finding]]:
    """Exit code and findings, as far as both verifiers must agree."""
    return outcome["exit"], sorted(
        (
            one["status"],
            one["code"],
            one["file"],
            one["times"],
            "" if one["code"] in OTHERWISE else one["text"],
        )
        for one in outcome["findings"]
    )


def chosen(page: Page, *files: Path, key: str = PUBLISHED, digest: str = "") -> Any:
    """What the page finds of files."""
    page.goto(PAGE.as_uri())
    page.fill("#key", key)
    page.evaluate("text => { document.getElementById('digest').value = text }", digest)
    page.set_input_files("#files", [str(file) for file in files])
    page.wait_for_selector("#verdict[data-code]")
    return page.evaluate("outcome")


def agree(
    page: Page,
    capsys: pytest.CaptureFixture[str],
    path: Path,
    *options: str,
    key: str = PUBLISHED,
    more: tuple[Path, ...] = (),
    digest: str = "",
) -> tuple[int, set[str]]:
    """Exit code and codes that both verifiers find of a file."""
    given = ["--key", key] if key else []
    given += ["--digest", digest] if digest else []
    verifier.main([str(path), "--json", *given, *options])
    printed = json.loads(capsys.readouterr().out)
    here, there = found_by(chosen(page, path, *more, key=key, digest=digest)), found_by(printed)
    assert set(here[1]) ^ set(there[1]) == set()
    assert here == there
    return printed["exit"], {one["code"] for one in printed["findings"]}


def zipped(path: Path, files: dict[str, bytes], packing: int = zipfile.ZIP_STORED) -> Path:
    """Files packed by another program."""
    with zipfile.ZipFile(path, "w", packing) as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    return path


def files_in(path: Path) -> dict[str, bytes]:
    """The files of a ZIP."""
    with zipfile.ZipFile(path) as archive:
        return {name: archive.read(name) for name in archive.namelist()}
