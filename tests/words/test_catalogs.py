"""The catalogs hold every text of pages and scripts, translated, and are compiled as they stand."""

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import polib
import pytest
from django.conf import settings

ROOT: Final = Path(settings.BASE_DIR)
LOCALE: Final = ROOT / "prep" / "locale"
SOURCE: Final = settings.LANGUAGE_CODE
DOMAINS: Final = ("django", "djangojs")
CATALOGS: Final = [
    LOCALE / code / "LC_MESSAGES" / f"{domain}.po"
    for code, _ in settings.LANGUAGES
    if code != SOURCE
    for domain in DOMAINS
]
# `%(name)s` of templates and scripts, `{name}` of Python, and the tags and addresses of a link.
PLACEHOLDER: Final = re.compile(r"%\(\w+\)[sd]|%%|{\w*}|</?[a-z][^>]*>")


def name_of(path: Path) -> str:
    """A catalog by its language and domain."""
    return f"{path.parent.parent.name}-{path.stem}"


def faults(entry: polib.POEntry) -> Iterator[str]:
    """What is wrong with the translation of a text."""
    if not entry.translated():
        yield f"not translated: {entry.msgid}"
        return
    translations = [*entry.msgstr_plural.values()] if entry.msgid_plural else [entry.msgstr]
    wanted = sorted(PLACEHOLDER.findall(entry.msgid_plural or entry.msgid))
    for text in translations:
        if sorted(PLACEHOLDER.findall(text)) != wanted:
            yield f"placeholders differ: {entry.msgid} / {text}"


def texts(catalog: polib.POFile | polib.MOFile) -> dict[tuple[str, str], object]:
    """Every translation by context and text."""
    return {(e.msgctxt or "", e.msgid): e.msgstr_plural or e.msgstr for e in catalog}


@pytest.mark.parametrize("path", CATALOGS, ids=name_of)
def test_every_text_is_translated_with_its_placeholders(path: Path) -> None:
    """An untranslated text is shown in English; a lost placeholder loses a value."""
    entries = polib.pofile(str(path))
    assert len(entries) > 0
    assert [fault for entry in entries for fault in faults(entry)] == []


@pytest.mark.parametrize("path", CATALOGS, ids=name_of)
def test_a_catalog_is_compiled_as_it_stands(path: Path) -> None:
    """The service reads the compiled file; people read and change the other."""
    compiled = polib.mofile(str(path.with_suffix(".mo")))
    assert texts(compiled) == texts(polib.pofile(str(path)))


@pytest.mark.skipif(not shutil.which("xgettext"), reason="needs the tools of GNU gettext")
@pytest.mark.parametrize("domain", DOMAINS)
def test_the_catalogs_hold_what_the_sources_say(domain: str, tmp_path: Path) -> None:
    """Collecting again, in a copy of the sources, changes no catalog."""
    shutil.copy(ROOT / "manage.py", tmp_path)
    for package in ("prep", "api", "reports"):
        shutil.copytree(
            ROOT / package, tmp_path / package, ignore=shutil.ignore_patterns("__pycache__")
        )
    subprocess.run(
        [sys.executable, "manage.py", "makemessages", "--domain", domain, "--verbosity", "0"],
        cwd=tmp_path,
        env={**os.environ, "YARDPROOF_DATA": str(tmp_path / "data")},
        check=True,
    )
    for path in CATALOGS:
        again = tmp_path / path.relative_to(ROOT)
        assert again.read_text() == path.read_text(), name_of(path)


@pytest.mark.parametrize(
    ("translation", "found"),
    [
        ({"msgstr": ""}, "not translated: %(count)s of {total}"),
        ({"msgstr": "x", "flags": ["fuzzy"]}, "not translated: %(count)s of {total}"),
        ({"msgstr": "%(count)s de"}, "placeholders differ: %(count)s of {total} / %(count)s de"),
    ],
)
def test_a_planted_fault_is_found(translation: dict[str, object], found: str) -> None:
    """Negative control: nothing there, a guess, and a placeholder lost."""
    assert list(faults(polib.POEntry(msgid="%(count)s of {total}", **translation))) == [found]
    whole = polib.POEntry(msgid="%(count)s of {total}", msgstr="{total}: %(count)s")
    assert list(faults(whole)) == []
