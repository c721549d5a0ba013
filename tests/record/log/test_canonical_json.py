"""Canonical JSON (RFC 8785): equal values give equal bytes, and floats are refused."""

import hashlib
import json
import random
from decimal import Decimal
from typing import Any

import pytest
import rfc8785
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.record.log.canonical_json import LARGEST_INTEGER, CanonicalError, encode
from tests.suites import ABSENT, SUITES

SUITE = SUITES / "jcs" / "testdata"

# SHA-256 and length of the published outputs of the public RFC 8785 test data.
PUBLISHED_DIGESTS = {
    "arrays": ("099601b171cafed97c333f8878d68e7f8c8f795412adb34b2fdcf0e7c7beac42", 32),
    "french": ("d99d0ebdcb0033cb858cfa830ae46bc0fb3309413b271f1da828c89901a27ed5", 130),
    "structures": ("605f65004ec2db7692522a0852c22f1c989e036d547e88963d1a3143cf3195d5", 98),
    "unicode": ("0d99aad92a125196ff887876643fd3206786a84ddce2cee52ba4ad256d2381d3", 30),
    "values": ("2d5e01a318d0f0879ab568c4be289c8b1f64ef8921a53c6277d5e069978baacb", 118),
    "weird": ("6af595a9aa80110b964b4de3f82a05fa6ae7423005019bacfa2620dddc4e94d1", 214),
}

json_values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-LARGEST_INTEGER, LARGEST_INTEGER)
    | st.text(st.characters(codec="utf-8")),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.text(st.characters(codec="utf-8")), inner, max_size=4)
    ),
    max_leaves=12,
)


def published(folder: str, name: str) -> bytes:
    if not SUITE.is_dir():
        pytest.skip(ABSENT)
    return (SUITE / folder / name).read_bytes()


@pytest.mark.parametrize("name", ["arrays", "french", "unicode", "weird"])
def test_published_input_without_floats_comes_out_as_published(name: str) -> None:
    """Every float-free case of the public test data, byte for byte and by its digest."""
    written = encode(json.loads(published("input", f"{name}.json")))
    assert written == published("output", f"{name}.json")
    assert (hashlib.sha256(written).hexdigest(), len(written)) == PUBLISHED_DIGESTS[name]


@pytest.mark.parametrize("name", ["structures", "values"])
def test_published_input_with_floats_is_refused_by_us_and_right_in_the_library(name: str) -> None:
    """The library spells the published floats as published; an event may not hold them at all."""
    value = json.loads(published("input", f"{name}.json"))
    written = rfc8785.dumps(value)
    assert (hashlib.sha256(written).hexdigest(), len(written)) == PUBLISHED_DIGESTS[name]
    with pytest.raises(CanonicalError, match="is a float"):
        encode(value)


def test_keys_sort_by_utf_16_and_control_characters_are_escaped() -> None:
    """The sorting example of RFC 8785 3.2.3."""
    value = {
        "\u20ac": "Euro Sign",
        "\r": "Carriage Return",
        "\ufb33": "Hebrew Letter Dalet With Dagesh",
        "1": "One",
        "\U0001f600": "Emoji: Grinning Face",
        "\u0080": "Control",
        "\u00f6": "Latin Small Letter O With Diaeresis",
    }
    order = [
        "Carriage Return",
        "One",
        "Control",
        "Latin Small Letter O With Diaeresis",
        "Euro Sign",
        "Emoji: Grinning Face",
        "Hebrew Letter Dalet With Dagesh",
    ]
    assert list(json.loads(encode(value)).values()) == order
    assert encode({"\r": 1}) == b'{"\\r":1}'


@pytest.mark.parametrize(
    ("value", "path", "words"),
    [
        (0.1, "$", "is a float"),
        ({"readings": [{"value": "450"}, {"value": 450.0}]}, "$.readings[1].value", "is a float"),
        ({"n": 2**53}, "$.n", "too large"),
        ({"n": -(2**53)}, "$.n", "too large"),
        ({"a": {3: "x"}}, "$.a", "the key 3 is not text"),
        ({"a": Decimal("1.5")}, "$.a", "Decimal has no JSON form"),
        ({"a": b"x"}, "$.a", "bytes has no JSON form"),
        ({"a": {1}}, "$.a", "set has no JSON form"),
        (["\ud800"], "$[0]", "surrogate"),
        ({"\udc00": 1}, "$ (a key)", "surrogate"),
        (float("nan"), "$", "is a float"),
    ],
)
def test_what_has_no_exact_spelling_is_refused_by_its_place(
    value: Any, path: str, words: str
) -> None:
    """The error names the path of the member at fault."""
    with pytest.raises(CanonicalError, match=words) as refused:
        encode(value)
    assert refused.value.path == path


def test_the_largest_exact_integer_is_written_and_the_next_refused() -> None:
    """±(2^53 − 1) is the range of RFC 7493 2.2 that RFC 8785 builds on."""
    assert encode([LARGEST_INTEGER, -LARGEST_INTEGER]) == b"[9007199254740991,-9007199254740991]"


def test_hostile_nesting_is_refused_before_the_stack_runs_out() -> None:
    """Ten thousand nested lists raise an error and do not crash."""
    nested: list[Any] = []
    for _ in range(10_000):
        nested = [nested]
    with pytest.raises(CanonicalError, match="nested deeper than 64"):
        encode(nested)


@settings(max_examples=300)
@given(json_values)
def test_our_bytes_are_those_of_a_library_written_for_the_standard(value: Any) -> None:
    """Against `rfc8785`, whatever characters stand in keys and texts."""
    assert encode(value) == rfc8785.dumps(value)


@pytest.mark.parametrize("code", [*range(0x20), 0x22, 0x2F, 0x5C, 0x7F, 0x2028, 0xFFFF, 0x1F600])
def test_every_character_with_an_escape_is_spelt_as_the_standard_says(code: int) -> None:
    """RFC 8785 3.2.2.2: short escapes, else lower-case hex; nothing else is escaped."""
    value: dict[str, Any] = {chr(code): chr(code), "\ue000": 1}
    assert encode(value) == rfc8785.dumps(value)


@settings(max_examples=100)
@given(json_values)
def test_writing_what_was_read_gives_the_same_bytes(value: Any) -> None:
    """Canonical bytes are a fixed point and lose nothing."""
    written = encode(value)
    assert json.loads(written) == value
    assert encode(json.loads(written)) == written


@settings(max_examples=50)
@given(st.dictionaries(st.text(max_size=3), st.integers(0, 9), min_size=2), st.randoms())
def test_the_order_in_which_facts_were_entered_does_not_matter(
    facts: dict[str, int], shuffle: random.Random
) -> None:
    """Two people entering the same facts in another order get the same bytes."""
    entries = list(facts.items())
    shuffle.shuffle(entries)
    assert encode(dict(entries)) == encode(facts)
