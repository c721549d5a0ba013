"""Phrases of rules as the log keeps them: a code and its values, for `prep.words` to say later."""

import msgspec

from prep.rules.phrase import Phrase, Token, Value


class KeptPhrase(msgspec.Struct, frozen=True):
    """A phrase of a rule. `tokens` are those of its values that have words of their own."""

    code: str
    values: dict[str, str | int] = {}
    tokens: dict[str, str] = {}


def kept(phrase: Phrase) -> KeptPhrase:
    """A phrase in a form that can be written into the log."""
    values: dict[str, str | int] = {}
    tokens: dict[str, str] = {}
    for name, value in phrase.values.items():
        if isinstance(value, Token):
            tokens[name] = value.token
        elif isinstance(value, str | int):
            values[name] = value
        else:
            raise TypeError(f"{phrase.code}: {name} is neither a text, a whole number nor a token")
    return KeptPhrase(phrase.code, values, tokens)


def phrase_of(kept: KeptPhrase) -> Phrase:
    """The phrase that was kept."""
    values: dict[str, Value] = {**kept.values}
    values |= {name: Token(token) for name, token in kept.tokens.items()}
    return Phrase(kept.code, values)
