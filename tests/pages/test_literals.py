"""No template holds a text that a reader sees and no catalog translates."""

import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Final

import pytest
from django.template.base import Lexer, Token, TokenType

import prep.pages

TEMPLATES = sorted((Path(prep.pages.__file__).parent / "templates").rglob("*.html"))

# Texts that are the same in every language: the service's own name, an algorithm's, units, and what
# a program sends.
SAME_EVERYWHERE: Final = ("Yardproof", "SHA-256", "mm", "Authorization: Token")
# Attributes that are shown, read aloud, or kept by a script in order to be shown.
SHOWN: Final = frozenset({"alt", "aria-description", "aria-label", "label", "placeholder", "title"})
SUBMITS: Final = frozenset({"button", "reset", "submit"})
UNSHOWN: Final = frozenset({"script", "style"})
TRANSLATED: Final = ("translate", "trans", "blocktranslate", "blocktrans")
DEFAULT: Final = re.compile(r"""\|\s*default(?:_if_none)?:\s*("[^"]*"|'[^']*')""")
WORD: Final = re.compile(r"[^\W\d_]")


class Texts(HTMLParser):
    """Collects what a reader sees of a page, with its line."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[int, str]] = []
        self._inside = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Attributes of an element that are shown."""
        self._inside = tag
        named = dict(attrs)
        for name, value in attrs:
            button = tag == "input" and name == "value" and named.get("type") in SUBMITS
            if value and (name in SHOWN or name.startswith("data-") or button):
                self._keep(value)

    def handle_endtag(self, tag: str) -> None:
        """Text after a script is shown again."""
        self._inside = ""

    def handle_data(self, data: str) -> None:
        """Text between elements."""
        if self._inside not in UNSHOWN:
            self._keep(data)

    def _keep(self, text: str) -> None:
        self.found.append((self.getpos()[0], text))


def literals(source: str) -> Iterator[str]:
    """Each text of a template that is shown and stands outside of a tag that translates."""
    tokens = Lexer(source).tokenize()
    texts = Texts()
    texts.feed("".join(_untranslated(tokens)))
    texts.close()
    for line, text in texts.found:
        left = text
        for same in SAME_EVERYWHERE:
            left = re.sub(rf"\b{same}\b", "", left)
        if WORD.search(left):
            yield f"line {line}: {' '.join(text.split())}"
    for token in tokens:
        for default in DEFAULT.findall(token.contents if token.token_type.value else ""):
            if WORD.search(default):
                yield f"line {token.lineno}: {default}"


def _untranslated(tokens: list[Token]) -> Iterator[str]:
    """The text of a template without its tags; each line stays where it was."""
    block = ""
    for token in tokens:
        tag = token.contents.split(maxsplit=1)[0] if token.token_type is TokenType.BLOCK else ""
        if tag.startswith("block") and tag in TRANSLATED:
            block = tag
        elif tag == f"end{block}":
            block = ""
        if token.token_type is TokenType.TEXT and not block:
            yield token.contents
        else:
            yield "\n" * token.contents.count("\n")


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.name)
def test_every_text_of_a_template_is_translated(path: Path) -> None:
    """Or a Spanish page has an English sentence in it."""
    assert list(literals(path.read_text())) == []


@pytest.mark.parametrize(
    ("planted", "found"),
    [
        ("<p>\nOn hold: {{ reason }}</p>", "line 1: On hold:"),
        ("{# so #}\n<input placeholder='Serial'>", "line 2: Serial"),
        ("<p{% if wide %} title='Wide'{% endif %}></p>", "line 1: Wide"),
        ("<form data-keep='Not sent'>", "line 1: Not sent"),
        ("<input type='submit' value='Send'>", "line 1: Send"),
        ("\n{{ place|default:'location not set' }}", "line 2: 'location not set'"),
        ("{% blocktranslate %}x{% endblocktranslate %}<b>after</b>", "line 1: after"),
    ],
)
def test_a_planted_text_is_found(planted: str, found: str) -> None:
    """Negative control: between elements, in attributes, and as what stands for nothing."""
    assert list(literals(planted)) == [found]


@pytest.mark.parametrize(
    "allowed",
    [
        "<h1>{% translate 'Yard' %}</h1> · 12 × {{ width }} mm — ✓",
        "{% blocktranslate count n=n %}{{ n }} unit{% plural %}units{% endblocktranslate %}",
        "<p aria-label=\"{% translate 'Steps' %}\">{{ place|default:_('location not set') }}</p>",
        "<title>Yardproof</title><input type='hidden' value='reading'>{# a comment #}",
        "{{ moment|date:'j M Y' }}<style>p {}</style>",
    ],
)
def test_what_needs_no_translation_is_allowed(allowed: str) -> None:
    """Marked texts, values, digits, signs, units, and what nobody sees."""
    assert list(literals(allowed)) == []
