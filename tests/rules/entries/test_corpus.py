"""Every entry of the corpus is taken for what the trade takes it for."""

from collections import Counter

import pytest

from prep.rules.entries.read import NotMeasured, Question, Typed, Unreadable
from tests.rules.entries.corpus import Case, cases, value

CASES = list(cases())
# NIST SP 811, UCUM, the SI brochure; spellings are nowhere standardized.
SOURCES = ("NIST SP 811", "BIPM SI brochure", "UCUM", "common practice, no published source")
OURS = ("the person's own setting", "arithmetic")


def of(kind: str) -> list[Case]:
    """The cases of one kind."""
    return [each for each in CASES if each.kind == kind]


@pytest.mark.parametrize("case", of("reads"), ids=str)
def test_a_clear_entry_is_read(case: Case) -> None:
    """As the one value it means, in the unit it is written in."""
    result = case.read()
    assert isinstance(result, Typed), result
    assert result.measured == value(case.expected, case.box)
    assert result.raw == case.text


@pytest.mark.parametrize("case", of("asks"), ids=str)
def test_an_entry_of_two_meanings_is_asked(case: Case) -> None:
    """And the choices are all that it can mean, so the truth is among them."""
    result = case.read()
    assert isinstance(result, Question), result
    offered = {choice.measured for choice in result.choices}
    assert offered == {value(choice, case.box) for choice in case.expected}


@pytest.mark.parametrize("case", of("refuses"), ids=str)
def test_what_is_no_reading_is_refused_with_what_is_wrong(case: Case) -> None:
    """By the code of its sentence."""
    result = case.read()
    assert isinstance(result, Unreadable), result
    assert result.why.code == case.expected


@pytest.mark.parametrize("case", of("notes"), ids=str)
def test_a_word_or_an_approximation_is_a_note(case: Case) -> None:
    """It never counts, and it is no answer."""
    result = case.read()
    assert isinstance(result, NotMeasured), result
    assert (result.why.code, result.because) == (case.expected, "")


@pytest.mark.parametrize("case", of("unmeasured"), ids=str)
def test_not_measured_with_its_reason_is_an_answer(case: Case) -> None:
    """The reason is kept as it was typed."""
    result = case.read()
    assert isinstance(result, NotMeasured), result
    assert (result.why.code, result.because) == ("unmeasured", case.expected)


def test_the_corpus_covers_three_languages_both_styles_and_every_answer() -> None:
    """At least 500 entries, each judged once, with its reason and its source."""
    assert len(CASES) >= 500
    languages = Counter(case.language for case in CASES)
    assert min(languages[each] for each in ("en", "fr", "es")) >= 60
    assert {case.decimal_comma for case in CASES} == {None, True, False}
    assert {case.kind for case in CASES} == {"reads", "asks", "refuses", "notes", "unmeasured"}
    assert all(case.why and case.source.startswith((*SOURCES, *OURS)) for case in CASES)
    seen = Counter((each.text, each.box, each.unit, each.decimal_comma) for each in CASES)
    assert [entry for entry, times in seen.items() if times > 1] == []
