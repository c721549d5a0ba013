"""Labels: readable from a step away, scannable through dirt, on every size, for whoever may."""

import hashlib
import io
import random
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

import pytest
from PIL import Image, ImageDraw
from pypdf import PdfReader

from prep.actions.people import choose_language
from prep.models import Event
from prep.words.reader import ENGLISH, Reader, say
from reports import queue
from reports.labels.pdf import ARMS_LENGTH, LabelFacts, code_side, label_pages
from reports.labels.sizes import SIZES, LabelSize
from reports.models import DocumentRequest
from reports.numbers import check_address
from reports.pdf.qr import QUIET, modules
from reports.pdf.typeface import drawable
from reports.registry import KINDS
from tests.cast import Yard
from tests.refusals import refused
from tests.reports.pdf_tools import needs_tools, pictures, qr_texts, words
from tests.stored_files import own_folders

ADDRESS = "https://yard.invented-implements.example/units/0a1b2c3d-4e5f-6071-8293-a4b5c6d7e8f9/"
HOSTILE = (
    "<b>&amp;</b><img src=x>",
    "\N{TRACTOR}\N{TRACTOR}\N{TRACTOR}",
    "א1ב2 ءآ",
    "W" * 60,
    "=cmd|' /C calc'!A1",
    "%n%s{{7*7}}\\",
    "1",
)


@pytest.fixture(autouse=True)
def _own_folder(settings: Any, tmp_path: Path) -> None:
    """Files and keys of a test lie in its folder."""
    own_folders(settings, tmp_path)
    settings.ADDRESS = "https://yard.invented-implements.example"


def facts(serial: str = "LF15-2024-000183", address: str = ADDRESS) -> LabelFacts:
    """An invented machine's label."""
    return LabelFacts(serial, "Larkfield RC15 rotary cutter", "Invented Implements", address)


def cut_apart(page: Image.Image, size: LabelSize, dots: int = 200) -> list[Image.Image]:
    """The labels of a printed page, each by itself, top left first."""
    scale = dots / 25.4
    found = []
    for place in range(size.count):
        left, bottom = size.corner(place)
        top = size.page[1] - bottom - size.height
        box = (left, top, left + size.width, top + size.height)
        found.append(page.crop(tuple(round(edge * scale) for edge in box)))  # type: ignore[arg-type]
    return found


@needs_tools
@pytest.mark.parametrize("name", SIZES)
def test_every_label_of_every_size_opens_its_own_unit(name: str, tmp_path: Path) -> None:
    """The last place of a page and the first of the next, printed at 200 dots to the inch, cut

    apart and read by zbar: each code stands in the label of its own unit.
    """
    size = SIZES[name]
    asked = [ADDRESS, ADDRESS.replace("0a1b2c3d", "77777777")]
    pdf = label_pages([facts(address=address) for address in asked], size, size.count, ENGLISH)
    last, first = (cut_apart(page, size) for page in pictures(pdf, tmp_path))
    assert qr_texts([last[-1], first[0]], tmp_path) == asked


@needs_tools
@pytest.mark.parametrize("name", ["letter-30", "roll-50x25"])
def test_a_label_with_mud_on_it_still_opens_its_unit(name: str, tmp_path: Path) -> None:
    """The smallest sizes with an eighth of the code under a blot, twenty times, invented mud."""
    size = SIZES[name]
    (page,) = pictures(label_pages([facts()], size, 1, ENGLISH), tmp_path, 300)
    clean = cut_apart(page, size, 300)[0]
    side = code_side(clean.width, clean.height)
    chance = random.Random(7)
    muddy = []
    for _ in range(20):
        label = clean.copy()
        # Mud on the code's middle; the three corner marks are found or nothing is.
        x, y = (side * chance.uniform(0.35, 0.6) for _ in "xy")
        half = side * 0.28 / 2
        box = (x - half, y - half, x + half, y + half)
        ImageDraw.Draw(label).rectangle(box, fill=chance.choice((60, 200)))
        muddy.append(label)
    assert qr_texts(muddy, tmp_path) == [ADDRESS] * 20


@pytest.mark.parametrize("size", SIZES.values(), ids=SIZES.keys())
def test_labels_lie_on_their_page_and_not_on_each_other(size: LabelSize) -> None:
    """Within the paper (ISO 216 for A4, 8.5 x 11 in for Letter), and in reading order."""
    assert size.page in {(210, 297), (8.5 * 25.4, 11 * 25.4), (size.width, size.height)}
    corners = [size.corner(place) for place in range(size.count)]
    for x, y in corners:
        assert -0.01 <= x <= size.page[0] - size.width + 0.01
        assert -0.01 <= y <= size.page[1] - size.height + 0.01
    for one, (x, y) in enumerate(corners):
        for other_x, other_y in corners[one + 1 :]:
            apart = abs(x - other_x) >= size.width - 0.01, abs(y - other_y) >= size.height - 0.01
            assert any(apart)
    assert corners == sorted(corners, key=lambda corner: (-corner[1], corner[0]))


@pytest.mark.parametrize("size", SIZES.values(), ids=SIZES.keys())
def test_a_module_of_the_code_is_large_enough_for_a_phone(size: LabelSize) -> None:
    """A module of 0.394 mm, about the least of the GS1 General Specifications (from memory)."""
    across = len(modules(ADDRESS, "h")) + 2 * QUIET
    assert code_side(size.width, size.height) / across >= 0.394


def test_the_first_labels_of_a_used_sheet_stay_free(tmp_path: Path) -> None:
    """From the 23rd of 24 on: two on the first page, one on the next."""
    size = SIZES["a4-24"]
    pdf = PdfReader(
        io.BytesIO(label_pages([facts("A"), facts("B"), facts("C")], size, 23, ENGLISH))
    )
    found = [page.extract_text().split() for page in pdf.pages]
    assert [[word for word in page if word in {"A", "B", "C"}] for page in found] == [
        ["A", "B"],
        ["C"],
    ]


@pytest.mark.parametrize("name", SIZES)
@pytest.mark.parametrize("serial", ["TC00001", "1LFRC15XAPA400123"])
def test_a_usual_serial_is_readable_at_arms_length(name: str, serial: str) -> None:
    """Seven and seventeen characters, on the narrowest room each size leaves, 13 pt or larger."""
    size = SIZES[name]
    pdf = PdfReader(io.BytesIO(label_pages([facts(serial)], size, 1, ENGLISH)))
    sizes: list[float] = []

    def visit(text: str, _: Any, matrix: Any, font: Any, points: float) -> None:
        if text.strip() and text.strip() in serial:
            sizes.append(points)

    pdf.pages[0].extract_text(visitor_text=visit)
    assert sizes
    assert min(sizes) >= (ARMS_LENGTH if size.height > 25.5 or len(serial) < 10 else 11)


@needs_tools
@pytest.mark.parametrize("serial", HOSTILE)
def test_no_serial_breaks_a_label(serial: str, tmp_path: Path) -> None:
    """Markup, emoji, right to left, sixty letters: it stays in its label, and the code works."""
    size = SIZES["roll-50x25"]
    pdf = label_pages([facts(serial)], size, 1, ENGLISH)
    (page,) = pictures(pdf, tmp_path)
    assert qr_texts([page], tmp_path) == [ADDRESS]
    rim = [page.getpixel((x, y)) for x in range(page.width) for y in (0, page.height - 1)]
    rim += [page.getpixel((x, y)) for x in (0, page.width - 1) for y in range(page.height)]
    assert set(rim) == {255}
    text = "".join(words(pdf).split())
    prints = drawable(serial) == serial
    assert prints == ("\N{TRACTOR}" not in serial)
    assert ("serialnumber" in text, "serial,incomplete" in text) == (prints, not prints)
    assert not serial.isascii() or "".join(serial.split()) in text


def asked(yard: Yard, unit: UUID | None = None, actor: Any = None, **parameters: Any) -> Any:
    """Ada asks for labels."""
    return queue.ask(
        actor=actor or yard.ada, kind="labels", command=uuid4(), unit=unit, parameters=parameters
    )


def file_of(request: DocumentRequest) -> bytes:
    """The finished file, after all that is due was made."""
    queue.run_due()
    request.refresh_from_db()
    assert request.failure == ""
    with queue.open_file(request) as opened:
        return bytes(opened.read())


@needs_tools
def test_a_label_of_a_unit_opens_the_units_page(yard: Yard, tmp_path: Path) -> None:
    """Serial, machine and yard in words; the code holds the address printed beside it."""
    unit = yard.receive("LF15-77")
    request = asked(yard, unit, size="roll-100x50")
    pdf = file_of(request)
    address = f"https://yard.invented-implements.example/units/{unit}/"
    assert qr_texts(pictures(pdf, tmp_path), tmp_path) == [address]
    text = words(pdf)
    assert "LF15-77" in text
    assert "Larkfield" in text
    assert "Invented Implements, North yard" in text
    assert address in "".join(text.split())
    assert request.digest == hashlib.sha256(pdf).hexdigest()
    assert Event.objects.filter(stream_id=str(unit), kind="document.issued").count() == 1


@needs_tools
def test_many_units_get_their_labels_in_the_order_named(yard: Yard, tmp_path: Path) -> None:
    """Three units, one of them twice, from the second place of a sheet."""
    first, second = yard.receive(), yard.receive()
    request = asked(yard, size="a4-8", first=2, units=[str(second), str(first), str(second)])
    (page,) = pictures(file_of(request), tmp_path)
    texts = qr_texts(cut_apart(page, SIZES["a4-8"]), tmp_path)
    assert [text[-37:-1] for text in texts] == [str(second), str(first), str(second)]


def test_labels_asked_for_twice_differ_in_their_numbers_alone(yard: Yard) -> None:
    """Two documents, each told from the other by its file as by its number."""
    unit = yard.receive()
    asked_for = [asked(yard, unit, size="a4-24") for _ in "12"]
    files = [file_of(one) for one in asked_for]
    assert len(set(files)) == len({one.number for one in asked_for}) == 2
    subjects = [PdfReader(io.BytesIO(file)).metadata for file in files]
    assert [about and about.subject for about in subjects] == [
        check_address(one.number) for one in asked_for
    ]
    assert words(files[0]) == words(files[1])


def test_labels_made_again_have_the_same_bytes(yard: Yard) -> None:
    """As of the same request."""
    request = asked(yard, yard.receive(), size="a4-24")
    first = file_of(request)
    request.worker = uuid4()
    assert KINDS["labels"].build(request, lambda done, total: None).path.read_bytes() == first


def test_labels_are_written_in_the_language_of_whoever_asks_or_in_the_one_asked_for(
    yard: Yard,
) -> None:
    """Spanish for Ada, who reads Spanish, and French where she says so; it is kept."""
    unit = yard.receive()
    choose_language(actor=yard.ada, language="es")
    own = asked(yard, unit, size="roll-100x50")
    french = asked(yard, unit, size="roll-100x50", language="fr")
    choose_language(actor=yard.ada, language="en")
    for request, language in ((own, "es"), (french, "fr")):
        pdf = file_of(request)
        assert str(PdfReader(io.BytesIO(pdf)).root_object["/Lang"]) == language
        assert say(Reader(language=language), "serial number") in words(pdf)
        assert request.parameters["language"] == language
    refused("no-such-language", asked, yard, unit, size="roll-100x50", language="de")


def test_labels_are_refused_with_what_to_ask_instead(yard: Yard) -> None:
    """A size nobody cuts, a place beyond the page, nothing named, a stranger, an auditor."""
    unit = yard.receive()
    sheet = {"size": "a4-8"}
    no = refused("no-such-size", asked, yard, unit, size="a4-7")
    assert "a4-8" in no.details["sizes"]
    no = refused("no-such-place", asked, yard, unit, **sheet, first=9)
    assert no.details == {"count": 8}
    refused("units-missing", asked, yard, None, **sheet)
    refused("units-unwanted", asked, yard, unit, **sheet, units=[str(unit)])
    refused("no-such-units", asked, yard, None, **sheet, units=[str(unit), str(uuid4())])
    refused("not-allowed", asked, yard, None, yard.outsider, **sheet, units=[str(unit)])
    refused("no-such-unit", asked, yard, unit, yard.outsider, **sheet)
    refused("not-allowed", asked, yard, unit, yard.rhea, **sheet)
    refused("not-allowed", asked, yard, None, yard.rhea, **sheet, units=[str(unit)])
    refused("input-unfit", asked, yard, None, **sheet, units=[str(unit)] * 501)
    refused("input-unfit", asked, yard, unit, **sheet, first=0)
    assert not DocumentRequest.objects.exists()
