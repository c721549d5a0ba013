"""Whatever is wrong is named, all of it at once; nothing that is sent ends in an error of ours."""

import json
import re
from collections import defaultdict
from typing import Any, Final

import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from prep.record.documents.typed import read_document
from prep.record.documents.yaml_text import decoded
from prep.record.facts import ModelDocument
from prep.record.model.checks import check as check_model
from prep.record.refusal import Refusal
from prep.words.publishing.problems import problem_with_place, trail_text
from prep.words.reader import ENGLISH
from tests.cast import DOCUMENTS
from tests.record.procedure.checks.test_wrong_procedures import (
    CUTTER,
    WRONG,
    problems_in,
)
from tests.record.procedure.shipped import KNOWN

# Edits by the section they are made in: two of one section may hide each other, as may what makes
# other work safe, a code that others refer to, and what the parser cannot get past.
_TOGETHER: Final = re.compile(r"^(yaml|work-not-safe|section-twice|step-twice|code-unfit)")
BY_SECTION: Final[dict[str, list[dict[str, str]]]] = defaultdict(list)
for _one in WRONG:
    if _one["where"].startswith("section ") and not _TOGETHER.match(_one["code"]):
        BY_SECTION[_one["where"].split(" › ")[0]].append(_one)


@st.composite
def independent(draw: st.DrawFn) -> list[dict[str, str]]:
    """Edits of different sections."""
    sections = draw(st.lists(st.sampled_from(sorted(BY_SECTION)), min_size=1, unique=True))
    return [draw(st.sampled_from(BY_SECTION[section])) for section in sections]


@settings(max_examples=40, deadline=None)
@given(independent())
def test_each_of_several_independent_faults_is_named(edits: list[dict[str, str]]) -> None:
    """One refusal has them all."""
    text = CUTTER
    for one in edits:
        text = text.replace(one["edit"], one["to"], 1)
    said = {(one.code, trail_text(one, ENGLISH)) for one in problems_in(text)}
    assert {(one["code"], one["where"]) for one in edits} <= said


def answered(content: bytes) -> None:
    """Bytes are refused in words or accepted; there is no third thing."""
    try:
        text = decoded(content)
    except Refusal as no:
        found = list(no.details["problems"])
    else:
        found = problems_in(text)
        try:
            found += check_model(read_document(text, ModelDocument), KNOWN)
        except Refusal as no:
            found += no.details["problems"]
    for one in found[:200]:
        sentence = problem_with_place(one, ENGLISH)
        assert sentence
        assert len(sentence) < 4000
        assert one.line >= 0


@settings(max_examples=300, deadline=None)
@given(st.binary(max_size=300))
def test_any_bytes_are_answered_in_words(content: bytes) -> None:
    """Whatever somebody sends."""
    answered(content)


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.data())
def test_a_damaged_procedure_is_answered_in_words(data: st.DataObject) -> None:
    """Pieces cut out, doubled, or replaced by signs that mean something in YAML."""
    text = CUTTER
    for _ in range(data.draw(st.integers(1, 4))):
        start = data.draw(st.integers(0, len(text) - 1))
        stop = min(len(text), start + data.draw(st.integers(0, 400)))
        piece = data.draw(st.sampled_from(["", text[start:stop] * 2, *SIGNS]))
        text = text[:start] + piece + text[stop:]
    answered(text.encode())


SIGNS: Final = ("[", "}", ": ", "- ", "&a ", "*a", "!!x ", "|", "? ", "%", "'", "\t", "\u2028")

_LEAVES: Final = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.text(max_size=12),
    st.sampled_from(["90 N·m", "model.mass", "reading.a.b", "limit.low", "8%", "torque", "check"]),
)


SMALL: Final = (DOCUMENTS / "procedure.yaml").read_text()

# Names that a field of a document may have, and one that none has.
_NAMES: Final = [*sorted(set(re.findall(r"^ *-? *([a-z_]+):", CUTTER, re.MULTILINE))), "zz"]

TREES: Final = st.recursive(
    _LEAVES,
    lambda inner: st.one_of(
        st.lists(inner, max_size=4),
        st.dictionaries(st.sampled_from(_NAMES), inner, max_size=6),
    ),
    max_leaves=40,
)


@settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(TREES, st.sampled_from(["", "sections", "steps", "lines", "limit", "cautions", "serials"]))
def test_any_tree_is_answered_in_words(tree: Any, where: str) -> None:
    """Lists for texts, texts for lists, fields of one thing in another."""
    document: dict[str, Any] = yaml.load(SMALL, Loader=yaml.CSafeLoader)
    section = document["sections"][0]
    if where in {"sections", "cautions", "serials"}:
        document[where] = tree
    elif where == "steps":
        section["steps"] = tree
    elif where == "lines":
        section["steps"][0]["lines"] = tree
    elif where == "limit":
        section["steps"][1]["lines"][0]["limit"] = tree
    else:
        document = tree
    answered(json.dumps(document).encode())  # every JSON text is YAML
