"""Layout of templates, style sheets and scripts: what the formatters leave to whoever writes them.

The indenter of the templates breaks no lines, because a line break is a space in a sentence.
"""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import prep.pages
from reports import bundles

LONGEST = 120  # characters
PAGES = Path(prep.pages.__file__).parent
TEMPLATES = sorted((PAGES / "templates").rglob("*.html"))
OTHERS = [*sorted((PAGES / "static").iterdir()), Path(bundles.__file__).with_name("verify.html")]

# Elements that start a line on the page, parts of tables and lists, and controls of a form.
BLOCK = frozenset(
    [
        "address",
        "article",
        "aside",
        "blockquote",
        "button",
        "caption",
        "dd",
        "datalist",
        "details",
        "div",
        "dl",
        "dt",
        "fieldset",
        "figcaption",
        "figure",
        "footer",
        "form",
        "h1",
        "h2",
        "h3",
        "h4",
        "h5",
        "h6",
        "header",
        "hr",
        "html",
        "head",
        "body",
        "input",
        "label",
        "legend",
        "li",
        "link",
        "main",
        "meta",
        "nav",
        "ol",
        "optgroup",
        "option",
        "p",
        "pre",
        "script",
        "section",
        "select",
        "style",
        "summary",
        "table",
        "tbody",
        "td",
        "textarea",
        "tfoot",
        "th",
        "thead",
        "title",
        "tr",
        "ul",
    ]
)
TEMPLATE_SYNTAX = re.compile(r"{#.*?#}|{%.*?%}|{{.*?}}")
OPENING = re.compile(r"<([a-z][a-z0-9]*)")


def too_long(text: str) -> Iterator[str]:
    """Lines that no window shows whole."""
    for number, line in enumerate(text.splitlines(), start=1):
        if len(line) > LONGEST:
            yield f"line {number} has {len(line)} characters"


def crowded(text: str) -> Iterator[str]:
    """Lines on which more than one block-level element begins."""
    for number, line in enumerate(text.splitlines(), start=1):
        begun = [tag for tag in OPENING.findall(TEMPLATE_SYNTAX.sub("", line)) if tag in BLOCK]
        if len(begun) > 1:
            yield f"line {number} begins {' and '.join(begun)}"


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.name)
def test_a_template_has_one_block_a_line_and_no_long_line(path: Path) -> None:
    """So a change of one element is a change of one line."""
    text = path.read_text()
    assert [*too_long(text), *crowded(text)] == []


@pytest.mark.parametrize("path", OTHERS, ids=lambda path: path.name)
def test_a_style_sheet_or_script_has_no_long_line(path: Path) -> None:
    """The formatter breaks code, but no comment and no text."""
    assert list(too_long(path.read_text())) == []


def test_crowded_and_long_lines_are_seen() -> None:
    """Negative control: each fault, planted, is named; what is allowed is not."""
    assert list(too_long("x" * LONGEST)) == []
    assert list(too_long("\n" + "x" * (LONGEST + 1))) == ["line 2 has 121 characters"]
    assert list(crowded("<ul>{% for item in items %}<li>{{ item }}</li>{% endfor %}</ul>")) == [
        "line 1 begins ul and li"
    ]
    assert list(crowded("<p>\n<label><input></label>")) == ["line 2 begins label and input"]
    assert list(crowded('<p><b>one</b> <a href="/">two</a></p>{# <p> #}')) == []
