"""The accepted choices of a line, where they depend on the unit."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from prep.record.documents.nodes import Path
from prep.record.documents.problems import Problem, clipped, nearest
from prep.record.facts import ModelFacts
from prep.record.procedure.checks.places import LineAt, lines_before
from prep.record.procedure.line import Chosen, Takes


def not_choices(at: LineAt, words: Sequence[str], path: Path) -> Iterator[Problem]:
    """Accepted words that are none of the line's choices."""
    for place, word in enumerate(words):
        if at.line.choices and word not in at.line.choices:
            where = (*path, place)
            yield Problem("limit-not-a-choice", where, {"word": word}, at.line.choices)


def by_options(at: LineAt, chosen: Chosen, path: Path, known: Sequence[str]) -> Iterator[Problem]:
    """Options that no model has, and words that cannot be chosen."""
    for option, words in chosen.options.items():
        where = (*path, "options", option)
        if known and option not in known:
            yield Problem(
                "option-unknown", where, {"option": option}, nearest(option, known), option
            )
        yield from not_choices(at, words, where)
    yield from not_choices(at, chosen.otherwise, (*path, "otherwise"))


def from_reading(at: LineAt, chosen: Chosen, path: Path) -> Iterator[Problem]:
    """A reference to another choice: made before, in one box, of words that this line knows."""
    where = (*path, "from")
    _, *parts = chosen.path.split(".")
    step, code = (*parts, "", "")[:2]
    before = lines_before(at, step)
    target = before.get(code)
    if target is None or target.takes is not Takes.CHOICE or len(parts) not in {2, 3}:
        able = [one.line for one in before.values() if one.takes is Takes.CHOICE]
        allowed = tuple(f"reading.{step}.{one}" for one in able)
        values = {"path": clipped(chosen.path)}
        yield Problem("choice-not-earlier", where, values, nearest(chosen.path, allowed))
    elif parts[2:] and parts[2] not in target.places:
        allowed = tuple(f"reading.{step}.{code}.{one}" for one in target.places)
        yield Problem("reading-position", where, {"path": clipped(chosen.path)}, allowed)
    elif not parts[2:] and target.places and not set(at.line.boxes) <= set(target.places):
        allowed = tuple(f"{chosen.path}.{one}" for one in target.places)
        yield Problem("reading-position", where, {"path": clipped(chosen.path)}, allowed)
    elif not set(target.choices) & set(at.line.choices):
        values = {"path": clipped(chosen.path)}
        yield Problem("choices-never-agree", where, values, target.choices)


def of_data(at: LineAt, datum: Any, where: Path, values: Mapping[str, Any]) -> Iterator[Problem]:
    """A model's word, or list of words, that cannot be chosen."""
    words = datum if isinstance(datum, list | tuple) else (datum,)
    for word in map(str, words):
        if word not in at.line.choices:
            yield Problem(
                "data-not-a-choice", where, {**values, "word": clipped(word)}, at.line.choices
            )


def options_of(models: Mapping[str, ModelFacts]) -> tuple[str, ...]:
    """Every option that one of the models has."""
    return tuple(dict.fromkeys(one for model in models.values() for one in model.options))
