"""Sentences with their values: each value of a phrase in the reader's words, units and style."""

from collections.abc import Mapping

from prep.rules.phrase import Amount, InputName, Phrase, QuantityName, RuleName, Token, Value
from prep.words.reader import Reader, say
from prep.words.rules import quantities, terms, value_names
from prep.words.rules import titles as rule_titles


def filled(sentence: str, values: Mapping[str, Value], reader: Reader, **more: str) -> str:
    """A marked sentence in the reader's language with its values; `more` is already in words."""
    measured = {name: value for name, value in values.items() if isinstance(value, Amount)}
    texts = quantities.amounts(measured, reader)
    texts |= {name: _shown(value, reader) for name, value in values.items() if name not in texts}
    return say(reader, sentence, **texts, **more)


def _shown(value: Value, reader: Reader) -> str:
    if isinstance(value, str | int):
        return str(value)
    if isinstance(value, float):
        return quantities.number(f"{value:.9g}", reader)
    if isinstance(value, tuple):
        return ("; " if any("," in part for part in value) else ", ").join(value)
    return _named(value, reader)


def _named(
    value: Token | QuantityName | InputName | RuleName | Amount | Phrase, reader: Reader
) -> str:
    match value:
        case Token(token):
            return terms.word(token, reader)
        case QuantityName(quantity):
            return quantities.name(quantity, reader)
        case InputName(name):
            return value_names.value_name(name, reader)
        case RuleName(name):
            return rule_titles.title(name, reader)
    raise TypeError(f"{value} is put into words elsewhere")
