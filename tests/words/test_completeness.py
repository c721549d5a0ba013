"""Every code that rules give has its words, and no word stands for nothing."""

import inspect
import re
import string
from collections.abc import Iterator
from dataclasses import is_dataclass, replace
from typing import Any, Final, Literal, get_args, get_origin, get_type_hints

import pytest

from prep.rules.answers import all_rules  # noqa: F401 - fills the catalog
from prep.rules.answers.answer import NOTHING_TO_DO
from prep.rules.catalog.advice import Advice
from prep.rules.catalog.catalog import RULES
from prep.rules.conformity.judgment import CheckAnswer, SettingAnswer, Verdict
from prep.rules.identity.serial_schemes import CHARACTERS
from prep.rules.phrase import Phrase
from prep.rules.quantities.quantity import QUANTITIES
from prep.words import verdicts
from prep.words.rules import advice, drawings, entries, quantities, results, terms, value_names
from prep.words.rules import refusals as rule_refusals
from prep.words.rules import titles as rule_titles
from tests.words.phrases_in_rules import Made, calls, calls_in

# What each table of sentences is for: the calls that give its codes.
REFUSED: Final = [
    *calls("RuleRefusal", at=1),
    *(replace(made, values=frozenset({"entry"})) for made in calls("UnclearInput", at=1)),
]
PHRASES: Final = [*calls("EntryError"), *calls("phrase")]
MADE: Final = {
    "refusals": (REFUSED, rule_refusals.SENTENCES, {"input"}),
    "advice": (calls("Advice"), advice.SENTENCES, {"amount"}),
    "phrases": (PHRASES, entries.SENTENCES | results.SENTENCES, set()),
    "captions": (calls("caption"), drawings.CAPTIONS, set()),
}
# Captions whose code is chosen from a table beside the call.
CHOSEN: Final = {
    "at-least": {"limit"},
    "at-most": {"limit"},
    "lower-limit": set(),
    "accepted-from": set(),
    "accepted-to": set(),
    "upper-limit": set(),
    "lower-limit-is": {"limit"},
    "upper-limit-is": {"limit"},
    "tractor-joint": set(),
    "machine-joint": set(),
    "pto-above-hitch": set(),
    "pto-below-hitch": set(),
    "input-above-hitch": set(),
    "input-below-hitch": set(),
}
NOT_LITERAL: Final = frozenset({"code", "above", "below"})
SENTENCES: Final = {
    **{f"refusal {code}": text for code, text in rule_refusals.SENTENCES.items()},
    **{f"advice {code}": text for code, text in advice.SENTENCES.items()},
    **{f"entry {code}": text for code, text in entries.SENTENCES.items()},
    **{f"caption {code}": text for code, text in drawings.CAPTIONS.items()},
    **{f"result {code}": text for code, text in results.SENTENCES.items()},
    **{f"term {token}": text for token, text in terms.TERMS.items()},
    **{f"verdict {token}": text for token, text in verdicts.WORDS.items()},
    **{f"verdict {token}.": text for token, text in verdicts.EXPLANATIONS.items()},
    **{f"name {name}": text for name, text in value_names.NAMES.items()},
    **{f"quantity {name}": text for name, text in quantities.NAMES.items()},
    **{f"title {name}": text for name, text in rule_titles.TITLES.items()},
}
BRITISH: Final = re.compile(
    r"\b(?:tyre|colour|centre|grey|metre|litre|levelling|levelled|calibre|labour|neighbour|"
    r"aluminium|programme|licence|anticlockwise|whilst|amongst|favour|honour|mould|plough|spanner|"
    r"fulfil\b|traveller|travelled|\w+isation|organise|recognise|realise|specialise|analyse|"
    r"minimise|maximise|summarise|equalise|standardise)",
    re.IGNORECASE,
)
# Ways of saying things that the shop does not use; see the glossary.
UNNATURAL: Final = re.compile(
    r"\b(?:maker|put right|anew|worked out|pull to value|held against|exchange them)\b",
    re.IGNORECASE,
)


def placeholders(sentence: str) -> set[str]:
    """The names a sentence asks for."""
    return {name for _, name, _, _ in string.Formatter().parse(sentence) if name is not None}


@pytest.mark.parametrize("table", MADE)
def test_each_code_has_one_sentence_and_each_sentence_a_code(table: str) -> None:
    """A code without a sentence would stop the page that shows it."""
    made, sentences, _ = MADE[table]
    codes = {each.code for each in made} - NOT_LITERAL
    if table == "captions":
        codes |= set(CHOSEN)
    assert codes == set(sentences)


@pytest.mark.parametrize("table", MADE)
def test_each_value_a_sentence_names_is_given_wherever_its_code_is(table: str) -> None:
    """And none is given in vain."""
    made, sentences, always = MADE[table]
    faults = [
        f"{each.where} {each.code}: {sorted(each.values ^ wanted)}"
        for each in made
        if each.code in sentences
        and each.values != (wanted := placeholders(sentences[each.code]) - always)
    ]
    assert faults == []


@pytest.mark.parametrize(("code", "values"), CHOSEN.items())
def test_captions_chosen_from_a_table_are_given_what_they_name(code: str, values: set[str]) -> None:
    """As the drawing gives it."""
    assert placeholders(drawings.CAPTIONS[code]) == values


def test_every_refusal_names_its_code_as_a_literal() -> None:
    """Otherwise the check above could not see it."""
    for made, _, _ in (MADE["refusals"], MADE["advice"], MADE["phrases"]):
        assert [each for each in made if not re.fullmatch(r"[a-z0-9-]+", each.code)] == []


def test_a_planted_code_and_a_planted_value_are_found() -> None:
    """Negative control of the two checks."""
    source = 'raise RuleRefusal("a", "no-words" if x else "limits-swapped", extra=1)'
    assert [*calls_in(source, "planted.py", ("RuleRefusal",), 1)] == [
        Made("no-words", frozenset({"extra"}), "planted.py:1"),
        Made("limits-swapped", frozenset({"extra"}), "planted.py:1"),
    ]


def tokens(hint: Any) -> Iterator[str]:
    """Every token of a result, however deep."""
    if get_origin(hint) is Literal:
        yield from get_args(hint)
    for inner in (hint, *get_args(hint)):
        if inner in {Advice, Phrase}:
            continue
        if inspect.isclass(inner) and is_dataclass(inner):
            for each in get_type_hints(inner, include_extras=True).values():
                yield from tokens(each)
        elif inner is not hint:
            yield from tokens(inner)


def test_each_finding_has_a_word_and_each_word_a_finding() -> None:
    """Findings of the rules, and what their sentences name."""
    found = {token for rule in RULES.values() for token in tokens(rule.result)}
    kinds = {kind.replace(" ", "-") for kind in CHARACTERS}
    named = {made.code for made in calls("Token") if re.fullmatch("[a-z-]+", made.code)}
    assert found | kinds | named | {NOTHING_TO_DO, "unclassified"} == set(terms.TERMS)


def test_inputs_results_quantities_rules_and_verdicts_have_names() -> None:
    """None is shown by the name it has in the program."""
    inputs = {parameter.name for rule in RULES.values() for parameter in rule.parameters}
    assert inputs <= set(value_names.NAMES)
    assert set(quantities.NAMES) == set(QUANTITIES)
    assert set(rule_titles.TITLES) == set(RULES)
    for table in (verdicts.WORDS, verdicts.MARKS, verdicts.EXPLANATIONS):
        assert set(table) == {*Verdict, *CheckAnswer, *SettingAnswer}


@pytest.mark.parametrize("name", sorted(RULES))
def test_a_title_is_the_one_of_the_rule_itself(name: str) -> None:
    """The first line of its docstring."""
    assert rule_titles.TITLES[name] == RULES[name].title


@pytest.mark.parametrize("name", SENTENCES)
def test_sentences_are_in_american_shop_english(name: str) -> None:
    """No British spelling, and none of the words the glossary replaces."""
    assert BRITISH.findall(SENTENCES[name]) == []
    assert UNNATURAL.findall(SENTENCES[name]) == []


@pytest.mark.parametrize(
    "sentence",
    [
        *rule_refusals.SENTENCES.values(),
        *advice.SENTENCES.values(),
        *entries.SENTENCES.values(),
        *verdicts.EXPLANATIONS.values(),
    ],
)
def test_a_sentence_begins_and_ends_as_one(sentence: str) -> None:
    """A capital or a value first, a stop last."""
    assert sentence[0] in "{“" or sentence[0].isupper()
    assert sentence[-1] in ".?" or sentence == "{input}: {entry}"
