"""Problems of a document: what is wrong where, as codes and values.

`prep.words.publishing` has the sentence of each code. A document is refused with all of its
problems at once, so that whoever wrote it need not send it twice.
"""

import difflib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, fields, is_dataclass, replace
from functools import lru_cache
from typing import Any, Final

from prep.record.documents.nodes import MappingNode, Node, Path, ScalarNode, node_at
from prep.record.refusal import Refusal
from prep.rules.phrase import Amount, Phrase

MOST_PROBLEMS: Final = 1000  # named in one refusal; whoever made more has the wrong file
MOST_KNOWN: Final = 300  # words that a wrong one is compared with
COMPARED: Final = 12  # of the known words, letter by letter
MOST_ALLOWED: Final = 40  # words that a problem offers instead, closest first
LONGEST_WORD: Final = 120  # characters of a wrong word that are repeated

# Fields that say which member of a list it is, and what such a member is called.
CODES: Final = ("section", "step", "line", "item", "name", "code")


@dataclass(frozen=True)
class Problem:
    """One thing that is wrong with a document.

    `path` leads to it from the top; `trail` is the same for people, each part with the kind of
    thing and its own code (`step`, `nuts`), or without a kind. `word` is what stands there and
    `allowed` what may, closest first. Line and column are counted from 1; 0 where there are none.
    """

    code: str
    path: Path
    values: Mapping[str, Any] = field(default_factory=dict)
    allowed: tuple[str, ...] = ()
    word: str = ""
    trail: tuple[tuple[str, str], ...] = ()
    line: int = 0
    column: int = 0

    @property
    def pointer(self) -> str:
        """The JSON Pointer (RFC 6901) of the place in the document."""
        escaped = (str(part).replace("~", "~0").replace("/", "~1") for part in self.path)
        return "".join(f"/{part}" for part in escaped)


def unfit(problems: Sequence[Problem]) -> Refusal:
    """The refusal of a document with everything that is wrong with it, in its own order."""
    once = {_identity(one): one for one in reversed(problems)}
    ordered = sorted(once.values(), key=lambda one: (one.line, one.column))
    return Refusal(
        "document-unfit",
        field="document",
        problems=tuple(ordered[:MOST_PROBLEMS]),
        count=len(ordered),
    )


def _identity(problem: Problem) -> tuple[Any, ...]:
    """What tells problems apart: what an alias repeats is wrong once, where it is written."""
    model = problem.values.get("model")
    if not problem.line:
        return problem.code, problem.path, model
    return problem.code, problem.line, problem.column, problem.path[-1:], model


def located(problem: Problem, root: Node | None) -> Problem:
    """The problem with the line, the column, the word and the trail of its place."""
    if root is None:
        return problem
    node = node_at(root, problem.path)
    word = problem.word or (node.text if isinstance(node, ScalarNode) else "")
    return replace(
        problem,
        word=clipped(word),
        trail=_trail(root, problem.path),
        line=problem.line or node.line,
        column=problem.column or node.column,
    )


def apart(problem: Problem, broken: Iterable[Path]) -> bool:
    """Whether a problem is no consequence of a part that could not be read at all."""
    path = problem.path
    return not any(path[: len(one)] == one or one[: len(path)] == path for one in broken)


def parameters(values: Mapping[str, Any]) -> dict[str, Any]:
    """The values of a problem as plain data, for programs."""
    return {name: _plain(value) for name, value in values.items()}


def _plain(value: Any) -> Any:
    if isinstance(value, Problem | Phrase):
        return {"code": value.code, "parameters": parameters(value.values)}
    if isinstance(value, Amount):
        return {"value": value.value, "unit": value.unit}
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    if is_dataclass(value):  # a name: of a quantity, an input, a rule, a term
        return getattr(value, fields(value)[0].name)
    return value


def clipped(word: str) -> str:
    """A word short enough to be repeated in a sentence."""
    return word if len(word) <= LONGEST_WORD else f"{word[:LONGEST_WORD]}…"


@lru_cache(4096)
def nearest(word: str, known: tuple[str, ...]) -> tuple[str, ...]:
    """The known words, those most like the given one first.

    Ordered by the pairs of letters they share, which is cheap, and the first of them exactly. Of
    more words than anybody would choose from only the first are looked at.
    """
    known = tuple(one for one in known[:MOST_KNOWN] if len(one) <= LONGEST_WORD)
    if len(word) > LONGEST_WORD:
        return known[:MOST_ALLOWED]
    pairs, given = _pairs(word), word.casefold()
    rough = sorted(known, key=lambda one: -_shared(pairs, _pairs(one)))
    close = {
        one: difflib.SequenceMatcher(None, one.casefold(), given, autojunk=False).ratio()
        for one in sorted(rough[:COMPARED], key=known.index)
    }
    first = sorted(close, key=lambda one: -close[one])
    return (*first, *rough[COMPARED:MOST_ALLOWED])


@lru_cache(8192)
def _pairs(word: str) -> frozenset[str]:
    """The pairs of neighboring letters in a word, its ends included."""
    padded = f"^{word.casefold()}$"
    return frozenset(padded[at : at + 2] for at in range(len(padded) - 1))


def _shared(one: frozenset[str], other: frozenset[str]) -> float:
    return 2 * len(one & other) / (len(one) + len(other))


def _trail(root: Node, path: Path) -> tuple[tuple[str, str], ...]:
    """The path with the codes along it; the name of a list is left out before a coded member."""
    trail: list[tuple[str, str]] = []
    here: Node | None = root
    for part in path:
        here = here.member(part) if here is not None else None
        kind, code = _code_of(here)
        if isinstance(part, int) and code:
            trail[-1:] = [(kind, code)]
        else:
            trail.append(("", str(part + 1) if isinstance(part, int) else clipped(part)))
    return tuple(trail)


def _code_of(node: Node | None) -> tuple[str, str]:
    if isinstance(node, MappingNode):
        for kind in CODES:
            code = node.member(kind)
            if isinstance(code, ScalarNode) and code.text:
                return kind, clipped(code.text)
    return "", ""
