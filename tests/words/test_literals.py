"""No text for people stands outside the words layer, unless it is said where it stands.

A text is a string of two words or more; in an f-string a value counts as a word. A string of
another kind is passed over, each kind with its reason; a file with others is in a table with its.
"""

import ast
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Final, NamedTuple

import pytest

from prep.rules.quantities.quantity import UNITS
from prep.words.registration import NAMES as REGISTRATION
from prep.words.rules.choices import CHOICES
from prep.words.rules.quantities import NAMES as QUANTITIES
from prep.words.unit.limits import BASES
from tests.words.test_rule_forms import DESIGNATION

ROOT: Final = Path(__file__).parents[2]
# The words themselves, what only whoever runs the service reads, and what Django writes.
ELSEWHERE: Final = ("prep/words/", "prep/management/", "prep/project/", "migrations/")

SAID: Final = frozenset({"_", "gettext", "gettext_noop", "ngettext", "say", "say_count"})
# Which arguments of a call are texts; each must be one literal, or a name for one.
TEXTS: Final = {"say": (1,), "say_count": (1, 2), "_": (0,), "gettext_noop": (0,)}
MARKS: Final = frozenset({"_", "gettext_noop"})
LEVELS: Final = frozenset({"critical", "debug", "error", "exception", "info", "warning"})
LOGGERS: Final = frozenset({"log", "logger"})

TAG: Final = re.compile(r"</?[a-z][^<>]*>|\{[^{}]*\}")
# Two words beside one another, or a word beside a value (NUL).
TEXT: Final = re.compile(r"[^\W\d_]{2,}[.,:;’']?\s+(?:[^\W\d_]{2,}|\0)|\0\s+[^\W\d_]{2,}")
TYPE: Final = re.compile(r"\w+\[[\w, |\[\]]+\]")
TOKENS: Final = {*BASES, *CHOICES, *QUANTITIES, *REGISTRATION}
SQL: Final = re.compile(r"\s*(?:BEGIN|CREATE|DROP|FOR SHARE|INSERT|PRAGMA|SELECT)\b|.* IS TRUE$")


class Place(NamedTuple):
    """Where a node stands: the function it is in, and whether a class of errors is around it."""

    function: str = ""
    error: bool = False


Test = Callable[[ast.AST, Place], bool]


def called(node: ast.AST) -> str:
    """The name of what is called; empty for anything but a call."""
    if not isinstance(node, ast.Call):
        return ""
    return str(getattr(node.func, "id", "") or getattr(node.func, "attr", ""))


def constant(node: ast.AST) -> str:
    """The text of a string, of an f-string with NUL for each value; empty for anything else."""
    if isinstance(node, ast.JoinedStr):
        return "".join(constant(part) or "\0" for part in node.values)
    return node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else ""


def owner(node: ast.AST) -> ast.AST:
    """What a method is called of; the node itself where it is no call of a method."""
    return getattr(getattr(node, "func", None), "value", node)


def method_of(node: ast.AST, owners: frozenset[str], names: frozenset[str]) -> bool:
    """Whether a node is a call of one of these methods of one of these objects."""
    return called(node) in names and getattr(owner(node), "id", "") in owners


# Strings that are no texts for people, by why they are none.
KINDS: Final[dict[str, Test]] = {
    "said, or marked to be said elsewhere": lambda node, _: called(node) in SAID,
    "a docstring, or a comment": lambda node, _: (
        isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
    ),
    "an error: whoever repairs the service reads it": lambda node, place: (
        place.error or called(node).endswith("Error")
    ),
    "the service's own log": lambda node, _: method_of(node, LOGGERS, LEVELS),
    "the description of the API, in English": lambda node, _: (
        called(node) == "Meta" or called(node).startswith("OpenApi")
    ),
    "a pattern": lambda node, _: called(node) == "compile",
    "a list of names, written as one text": lambda node, _: (
        called(node) == "split" and bool(constant(owner(node)))
    ),
    "what a row calls itself in a debugger": lambda _, place: place.function == "__str__",
    "SQL": lambda node, _: bool(SQL.match(constant(node))),
    "the symbol of a unit of measure": lambda node, _: constant(node) in UNITS,
    "a token with words of its own": lambda node, _: constant(node) in TOKENS,
    "a type in quotes": lambda node, _: bool(TYPE.fullmatch(constant(node))),
    "a designation of a standard": lambda node, _: bool(DESIGNATION.fullmatch(constant(node))),
}

# Files whose strings of two words are data, by why they are.
EXEMPT: Final[dict[str, str]] = {
    "api/commands.py": "the docstring of a view that is made from a command",
    "api/lists.py": "the description of the API, in English",
    "api/schema.py": "the description of the API, in English",
    "prep/actions/accounts/fingerprints.py": "names that keys are made from",
    "prep/actions/accounts/invitations.py": "names that keys are made from",
    "prep/actions/batches/refused_commands.py": "a name from which an id is made",
    "prep/actions/facts/loaders.py": "keys of the versions that a decision read",
    "prep/actions/log.py": "the service's own name",
    "prep/actions/sealing.py": "a command to type",
    "prep/models/triggers.py": "SQL, and the error that the database raises",
    "prep/pages/security_headers.py": "a header of HTTP",
    "prep/record/documents/yaml_text.py": "a part of another library's text",
    "prep/record/log/bundle_statement.py": "a signed format",
    "prep/record/log/canonical_json.py": "parts of the texts of errors",
    "prep/record/log/key_notes.py": "a text that keys sign, and the text of an error",
    "prep/record/log/merkle_tree.py": "parts of the texts of errors",
    "prep/record/log/signed_notes.py": "parts of the texts of errors, and of a signed format",
    "prep/record/model/commands.py": "an example of a document",
    "prep/record/procedure/commands.py": "an example of a document",
    "prep/record/procedure/document.py": "words of a procedure, as its author types them",
    "prep/record/refusal_codes.py": "names of details",
    "prep/record/roles.py": "roles, as the log has them",
    "prep/record/struct_errors.py": "a part of another library's text",
    "prep/rules/catalog/corrections.py": "docstrings of rules that are made from a table",
    "prep/rules/entries/grammar.py": "names and examples of productions",
    "prep/rules/entries/notes.py": "what people type",
    "prep/rules/entries/rewrites.py": "what people type",
    "prep/rules/entries/spelling_table.py": "what people type",
    "prep/rules/entries/terms.py": "what people type",
    "prep/rules/identity/serial_schemes.py": "words of a scheme, as its author types them",
    "prep/rules/lubricants/viscosity.py": "a designation of a standard",
    "prep/rules/running_gear/towing_data.py": "sources of values",
    "reports/audit/index_page.py": "a style sheet, a page's frame, and names of columns",
    "reports/bundles/column_notes.py": "names of columns, the same in every language",
    "reports/bundles/columns.py": "names of columns, the same in every language",
    "reports/bundles/contents.py": "the program that packed a bag (RFC 8493)",
    "reports/bundles/csv_tables.py": "tokens with their values",
    "reports/bundles/readme.py": "a command to type",
    "reports/bundles/verifier.py": "a program of its own, given away with its texts",
    "reports/imports/kinds.py": "titles of columns as people spell them, and examples of rows",
    "reports/certificate/document.py": "a signed format",
}

ANYWHERE: Final = Place()


def texts(node: ast.AST, place: Place = ANYWHERE) -> Iterator[tuple[int, str]]:
    """The texts for people in a tree, with their lines."""
    if any(holds(node, place) for holds in KINDS.values()):
        return
    if TEXT.search(TAG.sub(" ", constant(node))):
        yield getattr(node, "lineno", 0), constant(node).replace("\0", "…")
    children: list[ast.AST]
    if isinstance(node, ast.JoinedStr):
        children = [part.value for part in node.values if isinstance(part, ast.FormattedValue)]
    else:
        children = list(ast.iter_child_nodes(node))
    if isinstance(node, ast.ClassDef):
        place = place._replace(error=node.name.endswith("Error"))
    if isinstance(node, ast.FunctionDef):
        place = place._replace(function=node.name)
    for child in children:
        yield from texts(child, place)


def is_marked(node: ast.AST) -> bool:
    """Whether a node names a text that was marked elsewhere, or chooses among such."""
    if isinstance(node, ast.IfExp):
        return is_marked(node.body) and is_marked(node.orelse)
    if isinstance(node, ast.BoolOp):
        return all(map(is_marked, node.values))
    return isinstance(node, ast.Name | ast.Attribute | ast.Subscript) or called(node) == "get"


def unextracted(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """Calls that say or mark a text which no extraction of the catalogs can see."""
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call) or called(node) not in TEXTS:
            continue
        marks, places = called(node) in MARKS, TEXTS[called(node)]
        given = [node.args[place] for place in places if place < len(node.args)]
        literal = [isinstance(one, ast.Constant) or (not marks and is_marked(one)) for one in given]
        if len(given) != len(places) or not all(literal):
            yield node.lineno, ast.unparse(node)


def modules(beside: tuple[str, ...] = ELSEWHERE) -> Iterator[tuple[str, ast.Module]]:
    """Every module of ours beside those with such a part in their path."""
    for layer in ("prep", "api", "reports"):
        for path in sorted((ROOT / layer).rglob("*.py")):
            name = path.relative_to(ROOT).as_posix()
            if not any(part in name for part in beside):
                yield name, ast.parse(path.read_text(encoding="utf-8"))


def test_no_text_stands_outside_of_the_words_layer() -> None:
    """Each is named with its file and line."""
    stray = [
        f"{name}:{line}: {text}"
        for name, tree in modules()
        if name not in EXEMPT
        for line, text in texts(tree)
    ]
    assert stray == []


def test_the_tables_name_only_what_is_needed() -> None:
    """A file that holds no such string any more is taken out."""
    trees = dict(modules())
    assert [name for name in EXEMPT if name not in trees or not any(texts(trees[name]))] == []


def test_every_text_that_is_said_can_be_extracted() -> None:
    """A literal where it is said, or the name of one that was marked; marked, a literal."""
    unseen = [
        f"{name}:{line}: {call}"
        for name, tree in modules(beside=("migrations/", "reports/bundles/verifier.py"))
        for line, call in unextracted(tree)
    ]
    assert unseen == []


@pytest.mark.parametrize(
    "planted",
    [
        'title = "not ready"',
        'title = f"by {name}"',
        'title = f"{done} of {total}"',
        'title = "<p>Nothing to do.</p>"',
        'title = f"{name} is out of limit"',
        'title = say(reader, WORDS) + "and more of it"',
        'return {"answer": "ready for stock"}',
        'refuse("Ask the service manager.")',
        'title = "first" " and last"',
        "title = gone and 'the unit is gone' or ''",
        'class Gone:\n    text = "It is gone."',
        'page["title"] = _titles["a"] or "No model yet"',
    ],
)
def test_a_planted_text_is_found(planted: str) -> None:
    """Negative control."""
    assert len(list(texts(ast.parse(planted)))) == 1


@pytest.mark.parametrize(
    "planted",
    [
        'say(reader, "Not ready yet.")',
        'WORDS = {"a": _("Not ready yet.")}',
        '"""A docstring of a module."""',
        'raise UnknownRuleError(f"no rule {name} here")',
        'class GoneError(Exception):\n    def a(self):\n        super().__init__("it is gone")',
        'log.info("%s was taken over", request)',
        'limit: Annotated[int, Meta(description="At most so many.")] = 0',
        'PATTERN = re.compile(r"as of (.*)")',
        'NAMES = "one two three".split()',
        'def __str__(self):\n    return f"{self.a} of {self.b}"',
        'SELECT = "SELECT one FROM table"',
        'symbol = "US gal"',
        'condition = "plain, dry"',
        'grade = "nut class 10"',
        "markup = '<p class=\"big answer\"></p>'",
        'key = "not-ready"',
    ],
)
def test_what_is_no_text_is_passed_over(planted: str) -> None:
    """One string of each kind."""
    assert list(texts(ast.parse(planted))) == []


@pytest.mark.parametrize(
    ("planted", "seen"),
    [
        ('say(reader, "Not ready.")', True),
        ("say(reader, WORDS[code], **values)", True),
        ("say(reader, words.TITLE)", True),
        ("say(reader, READY if ready else NOT_READY)", True),
        ("say(reader, TABLE.get(code, OTHER))", True),
        ('say(reader, f"{count} steps")', False),
        ('say(reader, "Ready" if ready else "Not ready")', False),
        ('say(reader, "Ready" + end)', False),
        ('say_count(reader, "{count} step", "{count} steps", 2)', True),
        ('say_count(reader, "{count} step", many(2), 2)', False),
        ('_("Ready" " and waiting")', True),
        ("_(TITLE)", False),
        ('gettext_noop(f"{x}")', False),
    ],
)
def test_a_text_that_cannot_be_extracted_is_found(planted: str, seen: bool) -> None:
    """Negative control of what the catalogs are made from."""
    assert (list(unextracted(ast.parse(planted))) == []) is seen
