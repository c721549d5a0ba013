"""Drawings become SVG that is the same every time, safe to embed and readable without eyes."""

import math
from itertools import pairwise
from unicodedata import category
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.drawings.shapes import (
    Circle,
    Drawing,
    Ink,
    Line,
    Polygon,
    Polyline,
    Shape,
    Text,
    hatch,
    text_width,
    to_svg,
)
from tests.rules.drawings.checks import box, running_off, touching_texts

SVG = "{http://www.w3.org/2000/svg}"


def sheet(*shapes: Shape, title: str = "A title", description: str = "In words") -> Drawing:
    return Drawing(40.0, 20.0, shapes, title, description)


def test_a_drawing_has_its_size_in_millimeters_a_name_and_a_description() -> None:
    """SVG 2 (W3C): title and desc come first; role img makes it one picture."""
    root = ElementTree.fromstring(to_svg(sheet()))
    assert root.attrib["width"] == "40mm"
    assert root.attrib["height"] == "20mm"
    assert root.attrib["viewBox"] == "0 0 40 20"
    assert root.attrib["role"] == "img"
    assert [(child.tag, child.text) for child in root] == [
        (SVG + "title", "A title"),
        (SVG + "desc", "In words"),
    ]


def test_each_shape_becomes_the_svg_element_of_its_name() -> None:
    """The whole text, because equal drawings must give equal files."""
    svg = to_svg(
        sheet(
            Line((0, 0), (1.23456, -0.0001), dash=(1.0, 0.5)),
            Polyline(((0, 0), (1, 2)), width=0.5, ink=Ink.GRAY),
            Polygon(((0, 0), (1, 0), (1, 1)), fill=Ink.PALE, ink=None),
            Circle((5, 6), 1.5, fill=Ink.PAPER),
            Text((2, 3), "230 N·m", anchor="middle", bold=True),
        )
    )
    assert svg.splitlines()[3:-1] == [
        '<line x1="0" y1="0" x2="1.235" y2="0" stroke="#000000" stroke-width="0.35"'
        ' stroke-dasharray="1 0.5"/>',
        '<polyline points="0,0 1,2" fill="none" stroke="#808080" stroke-width="0.5"'
        ' stroke-linejoin="round"/>',
        '<polygon points="0,0 1,0 1,1" fill="#dcdcdc"/>',
        '<circle cx="5" cy="6" r="1.5" fill="#ffffff" stroke="#000000" stroke-width="0.35"/>',
        '<text x="2" y="3" font-size="4.6" text-anchor="middle" fill="#000000"'
        ' font-weight="bold">230 N·m</text>',
    ]


@given(st.text(max_size=40))
@settings(max_examples=100)
def test_no_text_can_break_out_of_its_element(text: str) -> None:
    """Whatever a person typed stays text, in title, description and label."""
    root = ElementTree.fromstring(
        to_svg(sheet(Text((1, 5), text), title=text, description=text)).encode()
    )
    assert [child.tag for child in root] == [SVG + "title", SVG + "desc", SVG + "text"]
    shown = "".join(
        "\N{REPLACEMENT CHARACTER}" if category(c) in {"Cc", "Cs"} or c in "\ufffe\uffff" else c
        for c in text
    )
    assert [child.text or "" for child in root] == [shown] * 3


def test_a_text_keeps_its_narrow_space_and_loses_what_xml_forbids() -> None:
    """XML 1.0, section 2.2: a no-break space is a character, a bell or a lone surrogate is not."""
    root = ElementTree.fromstring(to_svg(sheet(Text((1, 5), "230\u202fN·m\a\ud800 <b>&"))))
    assert root[2].text == "230\u202fN·m\ufffd\ufffd <b>&"


@pytest.mark.parametrize("bad", [math.nan, math.inf])
def test_a_coordinate_that_is_no_number_is_refused(bad: float) -> None:
    """A picture that would not show is an error, not a blank."""
    with pytest.raises(ValueError, match="not a finite number"):
        to_svg(sheet(Line((0, 0), (bad, 1))))


def test_inks_differ_in_lightness_on_a_black_and_white_print() -> None:
    """Grays are apart by a twelfth of the scale or more; red and blue print darker than gray."""

    def lightness(ink: Ink) -> float:
        red, green, blue = (int(ink[i : i + 2], 16) / 255 for i in (1, 3, 5))
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue  # ITU-R BT.709 weights

    grays = [lightness(ink) for ink in (Ink.BLACK, Ink.DARK, Ink.GRAY, Ink.PALE, Ink.PAPER)]
    assert all(after - before > 1 / 12 for before, after in pairwise(grays))
    assert max(lightness(Ink.RED), lightness(Ink.BLUE)) < lightness(Ink.GRAY)


@given(st.floats(0, 100), st.floats(0, 100), st.floats(0.01, 60), st.floats(0.1, 30), st.booleans())
@settings(max_examples=100)
def test_a_hatch_stays_in_its_rectangle_and_leaves_no_gap(
    left: float, top: float, width: float, height: float, falling: bool
) -> None:
    """Each stroke is inside; a rectangle wider than the spacing has one."""
    lines = list(hatch(left, top, left + width, top + height, falling=falling))
    for line in lines:
        x1, y1, x2, y2 = box(line)
        assert left - 1e-9 <= x1 <= x2 <= left + width + 1e-9
        assert top - 1e-9 <= y1 <= y2 <= top + height + 1e-9
        rises = (line.end[1] - line.start[1]) * (1 if falling else -1)
        assert rises == pytest.approx(line.end[0] - line.start[0], abs=1e-9)
    assert width < 1.7 or lines


def test_the_room_for_a_text_grows_with_size_weight_and_letters() -> None:
    """An m needs more room than an i."""
    assert text_width("mm", 3.0) > text_width("ii", 3.0)
    assert text_width("230", 6.0) == 2 * text_width("230", 3.0)
    assert text_width("230", 3.0, bold=True) > text_width("230", 3.0)


def test_the_checks_of_a_drawing_see_what_is_wrong() -> None:
    """A text off the sheet, a line off the sheet, two texts on each other."""
    off = Text((38, 5), "off the sheet")
    line = Line((0, 0), (0, 21))
    on_each_other = sheet(Text((5, 10), "one"), Text((6, 11), "other"), Text((20, 18), "free"))
    assert running_off(sheet(off, line, Circle((5, 5), 2))) == [off, line]
    assert touching_texts(on_each_other) == [("one", "other")]
