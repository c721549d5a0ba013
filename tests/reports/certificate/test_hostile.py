"""Whatever people type or attach: it is drawn as typed or refused, and nothing is opened for it."""

import dataclasses
import sys
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from io import BytesIO
from pathlib import Path
from typing import Any, Final, TypeVar

import pytest
from pypdf import PdfReader

from reports.certificate.document import certificate_pdf
from reports.pdf.typeface import REPLACED
from tests.reports.certificates import Issued, record_of_pdf
from tests.reports.pdf_tools import needs_poppler, pages_of, run, unspaced, verdict

pytestmark = pytest.mark.django_db
T = TypeVar("T")

MARKUP: Final = (
    '</para><b>bold</b> &amp; &#65; <img src="file:///etc/passwd" width="9"/> <a href="/x">y</a> '
    "<font color=red>r</font> <bullet>o</bullet> <seq/> {{ 7*7 }} %s ]]>"
)
PATHS: Final = "=1+1 +2 @SUM(A1) =cmd|'/C calc'!A0 ../../etc/passwd C:\\x\\..\\y file:///etc/passwd"
SCRIPTS: Final = (
    "a\u202egnp.exe\u202c שלום עולם مرحبا 🚜 👩\u200d🌾 e\u0301 \ufeff\u2066x\u2069 ﷽ \U000e0041"
)
CONTROLS: Final = "a\x01\x07\x1b[31mb\x7f\r\nc\td\x0be\u2028f\u0085g"
LONG: Final = ("invented words without end " * 400)[:10_000]
UNBROKEN: Final = "X" * 10_000
HOSTILE: Final = {
    "markup": MARKUP,
    "paths and formulas": PATHS,
    "scripts": SCRIPTS,
    "controls": CONTROLS,
    "long": LONG,
    "unbroken": UNBROKEN,
    "empty": "",
}
# What the service itself writes: numbers, units, moments as text, digests, words of the rules.
OURS: Final = frozenset(
    {
        *("number", "address", "time_zone", "canonical", "unit", "typed_unit", "low", "high"),
        *("guard", "uncertainty", "uncertainty_low", "uncertainty_high", "probability"),
        *("quantity", "calibrated", "due", "decision"),
        *("status", "ready_for", "kind", "verdict", "digest", "leaf", "root", "entry", "tlog"),
        *("language", "meaning", "severity", "basis"),
    }
)
OPENS: Final = frozenset({"open", "os.open", "socket.connect", "subprocess.Popen", "os.system"})


class Watch:
    """What was opened while somebody watched. An audit hook cannot be taken off, so it sleeps."""

    def __init__(self) -> None:
        self.awake = False
        self.opened: list[tuple[Any, ...]] = []
        sys.addaudithook(self._hear)

    def _hear(self, event: str, arguments: tuple[Any, ...]) -> None:
        if self.awake and event in OPENS:
            self.opened.append((event, *arguments[:1]))

    @contextmanager
    def listening(self) -> Iterator[list[tuple[Any, ...]]]:
        """What is opened within."""
        self.opened, self.awake = [], True
        try:
            yield self.opened
        finally:
            self.awake = False


WATCH: Final = Watch()


def everywhere(held: T, text: str) -> T:
    """Facts with `text` in place of every text that a person wrote."""
    if not dataclasses.is_dataclass(held) or isinstance(held, type):
        return held
    changed = {
        field.name: _changed(field.name, getattr(held, field.name), text)
        for field in dataclasses.fields(held)
        if field.name not in {"explained", "events"}
    }
    return dataclasses.replace(held, **changed)


def _changed(name: str, value: Any, text: str) -> Any:
    if isinstance(value, str):
        return value if name in OURS else text
    if isinstance(value, tuple):
        return tuple(_changed(name, one, text) for one in value)
    if isinstance(value, dict):
        return {key: one if key in {"rule", "inputs"} else text for key, one in value.items()}
    if isinstance(value, datetime | int):
        return value
    return everywhere(value, text)


@pytest.fixture(scope="session")
def usual(issued: Issued) -> list[tuple[Any, ...]]:
    """What is opened to draw a tame certificate; what is loaded only once was loaded before."""
    certificate_pdf(everywhere(issued.facts, "✓ מ م"), issued.pictures, "A4")
    with WATCH.listening() as opened:
        certificate_pdf(issued.facts, issued.pictures, "A4")
    return opened


@pytest.mark.parametrize("kind", list(HOSTILE))
def test_any_text_in_every_place_leaves_a_sound_certificate(
    issued: Issued, usual: list[tuple[Any, ...]], kind: str
) -> None:
    """Archival still, every page there, and nothing opened that a tame text does not open."""
    facts = everywhere(issued.facts, HOSTILE[kind])
    with WATCH.listening() as opened:
        pdf = certificate_pdf(facts, issued.pictures, "A4")
    assert opened == usual
    assert verdict(pdf) == "pass"
    assert 3 <= len(PdfReader(BytesIO(pdf)).pages) <= 40
    assert record_of_pdf(pdf)["certificate"]["unit"]["buyer"] == HOSTILE[kind]


def test_the_watch_hears_a_file_being_opened() -> None:
    """The negative control of the test above."""
    with WATCH.listening() as opened:
        Path(__file__).read_bytes()
    assert ("open", __file__) in opened


@needs_poppler
@pytest.mark.parametrize("text", [MARKUP, PATHS], ids=["markup", "paths and formulas"])
def test_markup_and_formulas_are_drawn_as_typed(issued: Issued, text: str, tmp_path: Path) -> None:
    """Each character of them, on the first page too: no reader of the page is told less."""
    pdf = certificate_pdf(everywhere(issued.facts, text), issued.pictures, "A4")
    pages = pages_of(pdf, tmp_path)
    assert unspaced(text) in unspaced(pages[0])
    assert unspaced("".join(pages)).count(unspaced(text)) > 20
    assert b"/JavaScript" not in pdf
    assert b"/URI" not in pdf


@needs_poppler
def test_a_text_that_turns_the_reading_round_is_shown_for_what_it_is(
    issued: Issued, tmp_path: Path
) -> None:
    """An override would make “gnp.exe” look like “exe.png”: it is drawn as a replaced character."""
    facts = everywhere(issued.facts, "a\u202egnp.exe")
    text = "".join(pages_of(certificate_pdf(facts, issued.pictures, "A4"), tmp_path))
    assert f"a{REPLACED}gnp.exe" in text
    assert "\u202e" not in text


@needs_poppler
def test_hebrew_and_arabic_names_read_from_right_to_left(issued: Issued, tmp_path: Path) -> None:
    """Drawn in the order of the Unicode bidirectional algorithm (UAX #9), Arabic letters joined.

    Poppler turns what stands on the page back into the order of reading; NFKC takes the joined
    forms apart. Metadata and bookmarks stay in the order of reading.
    """
    names = "חוות הדרים", "مزرعة النخيل"
    for name in names:
        facts = everywhere(issued.facts, name)
        pdf = certificate_pdf(facts, issued.pictures, "A4")
        said = unicodedata.normalize("NFKC", run(["pdftotext", "PDF", "-"], pdf, tmp_path))
        assert said.count(name) > 10
        assert verdict(pdf) == "pass"
        about = PdfReader(BytesIO(pdf)).metadata
        assert about is not None
        assert name in str(about.title)


@needs_poppler
def test_ten_thousand_characters_are_cut_on_paper_and_whole_in_the_record(
    issued: Issued, tmp_path: Path
) -> None:
    """The page says how many more there are, and what that sign means."""
    pdf = certificate_pdf(everywhere(issued.facts, LONG), issued.pictures, "A4")
    text = unspaced("".join(pages_of(pdf, tmp_path)))
    assert "…(+9400)" in text
    assert "…(+60)for60morecharacters" in text
    assert record_of_pdf(pdf)["certificate"]["concessions"][0]["reason"] == LONG
