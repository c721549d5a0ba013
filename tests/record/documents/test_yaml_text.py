"""YAML from anybody is read within bounds, or refused in words with its place."""

import time
from typing import Any

import pytest

from prep.record.documents import yaml_text
from prep.record.documents.problems import MOST_PROBLEMS, unfit
from prep.record.documents.typed import read_document, sound_document
from prep.record.documents.yaml_text import DEEPEST, MOST_BYTES, MOST_PARTS, decoded, read_nodes
from prep.record.facts import ModelDocument
from prep.record.procedure.document import Procedure
from prep.record.refusal import Refusal

Texts = dict[str, Any]


def refused(text: str | bytes, kind: Any = Texts) -> list[tuple[str, int, int]]:
    """Code, line and column of each problem."""
    with pytest.raises(Refusal) as no:
        sound_document(decoded(text) if isinstance(text, bytes) else text, kind)
    assert no.value.code == "document-unfit"
    return [(one.code, one.line, one.column) for one in no.value.details["problems"]]


@pytest.mark.parametrize(
    ("text", "code", "line", "column"),
    [
        ("a: !!int x", "yaml-tag", 1, 4),
        ("a: !!float x", "yaml-tag", 1, 4),
        ("a: !!timestamp x", "yaml-tag", 1, 4),
        ("a: !!python/object:os.system x", "yaml-tag", 1, 4),
        ('"\\ud800": 1', "yaml-syntax", 1, 4),
        ("a: 1\nb: \ud800", "yaml-unprintable", 2, 4),
        ("a: 1\nb: x\0y", "yaml-unprintable", 2, 5),
        ("a: 1\n\tb: 2", "yaml-character", 2, 1),
        ("a: @b", "yaml-character", 1, 4),
        ("a: 1\na: 2", "yaml-key-twice", 2, 1),
        ("a:\n  b: 1\n  b: 2", "yaml-key-twice", 3, 3),
        ("{a: 1, [b]: 2}", "yaml-key", 1, 8),
        ("a: *b", "yaml-alias", 1, 4),
        ("a: &b [*b]", "yaml-alias", 1, 8),
        ("a: 1\n---\nb: 2", "yaml-several", 2, 1),
        ("", "yaml-empty", 0, 0),
        ("# nothing\n", "yaml-empty", 0, 0),
        ("a: {b", "yaml-syntax", 2, 1),
        ("[" * 3000, "yaml-deep", 1, DEEPEST + 1),
        ("{a: " * 3000, "yaml-deep", 1, 4 * DEEPEST + 1),
        ("- " * 5000, "yaml-deep", 1, 2 * DEEPEST + 1),
        ("a: " + "[1," * 5 + "x" * MOST_BYTES, "yaml-long", 0, 0),
    ],
    ids=lambda one: str(one)[:24],
)
def test_what_no_document_needs_is_refused_with_its_place(
    text: str, code: str, line: int, column: int
) -> None:
    """Tags, half characters, tabs, names twice, depth."""
    assert refused(text)[0] == (code, line, column)


def test_digits_by_the_thousand_are_a_text_and_no_number() -> None:
    """Nothing is computed of them."""
    digits = "1" * 5000
    assert sound_document(f"a: {digits}", Texts) == {"a": digits}
    assert refused(f"revision: {digits}", Procedure)[-1][0] == "kind-wrong"


def test_laughs_by_the_billion_are_counted_before_they_are_told() -> None:
    """Nine levels of nine aliases: refused by their number of parts, at once."""
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 10)]
    began = time.process_time()
    assert refused("\n".join(lines))[0][:2] == ("yaml-parts", 5)
    assert time.process_time() - began < 0.5


def test_an_alias_stands_for_its_anchor_and_is_as_deep() -> None:
    """What shipped procedures use; nested beyond the bound it is refused, too."""
    assert sound_document("a: &x {b: 1}\nc: *x", Texts) == {"a": {"b": 1}, "c": {"b": 1}}
    half = DEEPEST // 2 + 1
    nested = f"a: &x {'[' * half}1{']' * half}\nb: {'[' * half}*x{']' * half}"
    assert refused(nested)[0][0] == "yaml-deep"


def named(text: str, kind: Any) -> int:
    """How many problems a refusal of the document names."""
    with pytest.raises(Refusal) as no:
        raise unfit(read_document(text, kind).problems)
    return len(no.value.details["problems"])


@pytest.mark.parametrize(
    "text",
    [
        "a: [" + "[1, 2]," * 110_000 + "]",
        "{" + ",".join(f"k{n}: [v]" for n in range(70_000)) + "}",
        "procedure: [" + "x," * 400_000 + "]",
        "sections: [" + "{stepp: 1}," * 9_000 + "]",
        "- " + "'" * 800_000,
        "a: " + "b: " * 250_000,
    ],
    ids=lambda text: text[:20],
)
def test_hundreds_of_kilobytes_cost_little(text: str) -> None:
    """Such took 18 s once. Bounds of this test are ten times what was measured, 0.2 s."""
    began = time.process_time()
    assert 0 < named(text[:MOST_BYTES], Procedure) <= MOST_PROBLEMS
    assert named(text[:MOST_BYTES], ModelDocument) > 0
    assert time.process_time() - began < 4


def test_the_largest_that_is_read_is_stated() -> None:
    """One part more than the bound is refused."""
    assert read_nodes("[" + "1," * (MOST_PARTS - 1) + "]")
    assert refused("[" + "1," * MOST_PARTS + "]")[0][0] == "yaml-parts"


@pytest.mark.parametrize(
    "written",
    ["no", "off", "y", "0170", "0x1F", "1e3", "1_000", "2026-03-02", "12:30", "0.83", ".5", "1.0"],
)
def test_what_a_person_wrote_stays_a_text_where_a_text_is_wanted(written: str) -> None:
    """A country's code, an octal, a date, a time of day (YAML 1.1 made other things of them)."""
    assert sound_document(f"a: {written}", dict[str, str]) == {"a": written}
    assert sound_document(f"a: {written}", Texts) == {"a": written}


@pytest.mark.parametrize("written", ["0170", "1e3", "1.0", "0x1F", '"5"', "1_000", "five"])
def test_a_whole_number_is_written_in_digits(written: str) -> None:
    """Nothing is guessed of another notation."""
    assert sound_document("a: 5", dict[str, int]) == {"a": 5}
    assert refused(f"a: {written}", dict[str, int]) == [("kind-wrong", 1, 4)]


def test_yes_and_no_are_answers_where_an_answer_is_wanted() -> None:
    """In the words of a person or of a program, and not in quotes."""
    written = "a: yes\nb: no\nc: true\nd: False"
    assert sound_document(written, dict[str, bool]) == {
        "a": True,
        "b": False,
        "c": True,
        "d": False,
    }
    assert refused("a: 'yes'", dict[str, bool]) == [("kind-wrong", 1, 4)]


@pytest.mark.parametrize(
    "content", ["é: ñ".encode(), b"\xef\xbb\xbf" + "é: ñ".encode(), "é: ñ".encode("utf-16")]
)
def test_a_byte_order_mark_says_how_the_file_is_encoded(content: bytes) -> None:
    """What an editor on Windows saves."""
    assert sound_document(decoded(content), Texts) == {"é": "ñ"}


def test_another_encoding_is_named_with_its_line() -> None:
    """Latin-1, and UTF-16 without its mark."""
    assert refused("a: 1\nb: é".encode("latin-1")) == [("yaml-encoding", 2, 1)]
    assert refused("a: b".encode("utf-16-le"))[0][0] == "yaml-unprintable"
    assert refused(b"\xff\xfea")[0][0] == "yaml-encoding"


def test_the_name_that_was_meant_is_not_looked_for_without_end(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Thousands of wrong names against thousands of right ones took twenty seconds."""
    compared: list[int] = []

    def counted(word: str, known: tuple[str, ...]) -> tuple[str, ...]:
        compared.append(len(known))
        return known[:1]

    monkeypatch.setattr(yaml_text, "nearest", counted)
    anchors = "".join(f"a{number}: &a{number} 1\n" for number in range(6000))
    aliases = "".join(f"b{number}: *c{number}\n" for number in range(6000))
    _, problems = yaml_text.read_nodes(anchors + aliases)
    assert len(problems) == len(compared) == 6000
    assert sum(compared) == 100 * 300
