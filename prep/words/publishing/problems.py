"""Problems of documents as people read them: where, what is wrong, what may stand there."""

from collections.abc import Iterable, Mapping
from typing import Any, Final

from django.utils.translation import gettext_noop as _

from prep.record.documents.problems import Problem
from prep.record.refusal import Refusal
from prep.rules.phrase import Amount, Phrase
from prep.words.lists import one_of
from prep.words.publishing.sentences import SENTENCES
from prep.words.reader import Reader, say, say_count
from prep.words.rules import quantities
from prep.words.rules import refusals as rule_refusals

OFFERED: Final = 6  # of the words that may stand there
SHOWN: Final = 50  # problems on a page or the console; the API has all

USE: Final = _("Use “{word}”.")
USE_ONE: Final = _("Use one of: {words}.")
USE_ONE_OF_MANY: Final = _("Use one of: {words} … ({count} in all).")
DOCUMENT: Final = _("document")
LINE: Final = _("line {line}, column {column}")

# Kinds of value, by the names that Python and JSON have for them.
WANTED: Final = {
    "str": _("a text"),
    "int": _("a whole number"),
    "bool": _("yes or no"),
    "array": _("a list"),
    "object": _("fields with their names"),
}

# Members of lists, by the field that holds their code.
KINDS: Final = {
    "section": _("section {code}"),
    "step": _("step {code}"),
    "line": _("line {code}"),
    "item": _("material {code}"),
    "name": _("part {code}"),
    "code": _("instrument {code}"),
}


def problem_text(problem: Problem, reader: Reader) -> str:
    """What is wrong, and what may stand there, without the place."""
    sentence = _sentence(problem, reader)
    offered = _offered(problem.allowed, reader)
    return f"{sentence} {offered}" if offered else sentence


def trail_text(problem: Problem, reader: Reader) -> str:
    """The path for people: section deck › step blades › line torque › limit."""
    parts = [say(reader, KINDS[kind], code=code) if kind else code for kind, code in problem.trail]
    return " › ".join(parts) or say(reader, DOCUMENT)


def place_text(problem: Problem, reader: Reader) -> str:
    """Line and column; empty where there are none."""
    if not problem.line:
        return ""
    return say(reader, LINE, line=problem.line, column=problem.column)


def problem_with_place(problem: Problem, reader: Reader) -> str:
    """All of it on one line."""
    where = ", ".join(filter(None, [place_text(problem, reader), trail_text(problem, reader)]))
    return f"{where}: {problem_text(problem, reader)}"


def document_text(refusal: Refusal, reader: Reader) -> str:
    """The refusal of a document in short: its first problem, and how many more there are."""
    first, count = refusal.details["problems"][0], refusal.details["count"]
    more = and_more(count - 1, reader)
    text = problem_with_place(first, reader)
    return f"{text} ({more})" if more else text


def listed(problems: Iterable[Problem], count: int, reader: Reader) -> list[str]:
    """The first problems, one a line, and how many more there are."""
    shown = [problem_with_place(one, reader) for one in list(problems)[:SHOWN]]
    return [*shown, *filter(None, [and_more(count - len(shown), reader)])]


def counted(count: int, reader: Reader) -> str:
    """How many problems there are."""
    return say_count(reader, "{count} problem", "{count} problems", count)


def and_more(count: int, reader: Reader) -> str:
    """How many there are that are not shown; empty for none."""
    if count <= 0:
        return ""
    return say_count(reader, "and {count} more", "and {count} more", count)


def _sentence(problem: Problem, reader: Reader) -> str:
    values = {"word": problem.word, **_in_words(problem.values, reader)}
    with_word = f"{problem.code}-word"
    code = with_word if problem.word and with_word in SENTENCES else problem.code
    return say(reader, SENTENCES[code], **values)


def _offered(allowed: tuple[str, ...], reader: Reader) -> str:
    if not allowed:
        return ""
    if len(allowed) == 1:
        return say(reader, USE, word=allowed[0])
    words = ", ".join(allowed[:OFFERED])
    if len(allowed) > OFFERED:
        return say(reader, USE_ONE_OF_MANY, words=words, count=len(allowed))
    return say(reader, USE_ONE, words=words)


def _in_words(values: Mapping[str, Any], reader: Reader) -> dict[str, str]:
    if isinstance(why := values.get("why"), Phrase):  # of a rule that cannot be computed
        refused = rule_refusals.sentence(values["input"], why, reader)
        return {**{name: str(values[name]) for name in values}, "why": refused}
    measured = {name: value for name, value in values.items() if isinstance(value, Amount)}
    texts = quantities.amounts(measured, reader)
    others = {name: value for name, value in values.items() if name not in texts}
    return texts | {name: _value(name, value, reader) for name, value in others.items()}


def _value(name: str, value: Any, reader: Reader) -> str:
    if isinstance(value, Problem):
        return _sentence(value, reader)
    if name == "wanted" and isinstance(value, tuple):  # kinds; else what the document names
        return one_of((say(reader, WANTED[kind]) for kind in value), reader)
    if isinstance(value, tuple):
        return ", ".join(value)
    if name in {"quantity", "there"}:
        return quantities.name(value, reader)
    return str(value)
