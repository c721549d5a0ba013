"""Nodes as plain values of a struct's fields, with every fault of every field.

The field decides how a text is read: `no` is a word where a word is wanted and an answer where yes
or no is, `0170` and `1e3` are whole numbers nowhere. A field that does not fit is left out or gets
a stand-in, so that the rest can still be checked.
"""

import re
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from types import NoneType
from typing import (
    Annotated,
    Any,
    Final,
    Generic,
    NamedTuple,
    TypeVar,
    cast,
    get_args,
    get_origin,
)

import msgspec

from prep.record.documents.kinds import (
    BROKEN,
    YES_NO,
    Field,
    fields_of,
    is_struct,
    options_of,
    stand_in,
    wanted,
    words_of,
    yes_no,
)
from prep.record.documents.nodes import ListNode, MappingNode, Node, Path, ScalarNode
from prep.record.documents.problems import Problem, clipped, located, nearest, unfit
from prep.record.documents.yaml_text import read_nodes
from prep.rules.phrase import Misfit

T = TypeVar("T")

_WHOLE: Final = re.compile(r"-?(?:0|[1-9][0-9]{0,14})")  # exact in every JSON reader
_NOTHING: Final = frozenset({"", "~", "null"})


class Document(NamedTuple, Generic[T]):
    """A document read into a struct, and its plain values.

    Where something did not fit, `problems` has it, `broken` the places, and the struct stand-ins
    there; it is None where not even the outermost fields could be read.
    """

    struct: T | None
    values: Any
    root: Node
    problems: tuple[Problem, ...]

    @property
    def broken(self) -> frozenset[Path]:
        """The places where something did not fit, and those of the fields that were misspelled."""
        places = {problem.path for problem in self.problems}
        unknown = [problem for problem in self.problems if problem.code == "field-unknown"]
        return frozenset(places | {(*one.path[:-1], *one.allowed[:1]) for one in unknown})


def read_document(text: str, kind: type[T]) -> Document[T]:
    """A YAML document as a struct, with every fault of its fields.

    Refusal where it is not YAML, or beyond the bounds of a document.
    """
    return cast(Document[T], _read(text, cast(Any, kind)))


@lru_cache(8)
def _read(text: str, kind: Any) -> Document[Any]:
    """A document, kept: a command reads it before it is decided, and when it is."""
    root, problems = read_nodes(text)
    return _typed(root, kind, problems)


def legible(document: Document[T]) -> T:
    """The struct with stand-ins for what did not fit; Refusal where there is none."""
    if document.struct is None:
        raise unfit(document.problems)
    return document.struct


def sound_document(text: str, kind: type[T]) -> T:
    """A YAML document as a struct; Refusal with every fault of its fields."""
    document = read_document(text, kind)
    if document.problems or document.struct is None:
        raise unfit(document.problems)
    return document.struct


def _typed(root: Node, kind: type[T], problems: list[Problem]) -> Document[T]:
    walk = _Walk()
    values = walk.value(root, kind, ())
    found = tuple(located(one, root) for one in (*problems, *walk.problems))
    if values is BROKEN:
        return Document(None, None, root, found)
    return Document(msgspec.convert(values, kind), values, root, found)


class _Walk:
    """One walk over a document."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []

    def value(self, node: Node, hint: Any, path: Path) -> Any:
        """The value of a node by its type, or BROKEN."""
        options, metas = options_of(hint)
        if NoneType in options and _is_nothing(node):
            return None
        if Any in options:
            return self._untyped(node, path)
        match node:
            case MappingNode():
                return self._of_mapping(node, options, path)
            case ListNode():
                return self._of_list(node, options, metas, path)
            case ScalarNode():
                return self._of_text(node, options, metas, path)

    def _of_mapping(self, node: MappingNode, options: tuple[Any, ...], path: Path) -> Any:
        for option in options:
            if is_struct(option):
                return self._struct(node, option, path)
            if get_origin(option) is dict:
                key, member = get_args(option)
                return self._named(node, key, member, path)
        return self._unfit(options, path)

    def _named(self, node: MappingNode, key: Any, hint: Any, path: Path) -> dict[str, Any]:
        """The members of a mapping whose names are the author's; without those that do not fit."""
        members = {}
        for name, member in node.members.items():
            at = node.keys[name]
            named = self._kept(name, options_of(key)[1], (*path, name), at)
            value = self.value(member, hint, (*path, name))
            if named is not BROKEN and value is not BROKEN:
                members[name] = value
        return members

    def _struct(self, node: MappingNode, struct: type[msgspec.Struct], path: Path) -> Any:
        fields, before = fields_of(struct), len(self.problems)
        misspelled = self._unknown(node, fields, path)
        values: dict[str, Any] = {}
        for name, one in fields.items():
            member = node.members.get(name)
            if member is not None:
                value = self.value(member, one.hint, (*path, name))
            elif one.required:
                if name not in misspelled:
                    self._add(Problem("field-missing", (*path, name), {"name": name}))
                value = BROKEN
            else:
                continue
            if value is BROKEN and one.required:
                value = stand_in(one.hint)
            if value is not BROKEN:
                values[name] = value
        return self._made(struct, values, path, sound=len(self.problems) == before)

    def _unknown(self, node: MappingNode, fields: Mapping[str, Field], path: Path) -> set[str]:
        """Name the fields that there are not; the fields that were meant, as far as one can tell.

        One that is misspelled is not missing as well.
        """
        meant = set()
        for name in node.members.keys() - fields.keys():
            key, allowed = node.keys[name], nearest(name, tuple(fields))
            meant.add(allowed[0])
            self._add(
                Problem(
                    "field-unknown",
                    (*path, name),
                    {"name": clipped(name)},
                    allowed,
                    clipped(name),
                    line=key.line,
                    column=key.column,
                )
            )
        return meant

    def _made(
        self, struct: type[msgspec.Struct], values: dict[str, Any], path: Path, *, sound: bool
    ) -> Any:
        """The values, unless the struct itself says that they do not go together."""
        if not hasattr(struct, "__post_init__"):
            return values
        if not sound:
            return BROKEN
        try:
            msgspec.convert(values, struct)
        except msgspec.ValidationError as wrong:
            if not isinstance(wrong.__cause__, Misfit):
                raise
            why = wrong.__cause__.phrase
            self._add(Problem(why.code, path, why.values))
            return BROKEN
        return values

    def _of_list(
        self, node: ListNode, options: tuple[Any, ...], metas: tuple[msgspec.Meta, ...], path: Path
    ) -> Any:
        for option in options:
            if get_origin(option) not in {tuple, list}:
                continue
            hints = get_args(option)
            if len(hints) > 1 and hints[1] is not Ellipsis:
                if len(hints) != len(node.members):
                    self._add(Problem("list-length", path, {"count": len(hints)}))
                    return BROKEN
            else:
                hints = (hints[0],) * len(node.members)
            return self._members(node, hints, path)
        return self._unfit(options, path)

    def _members(self, node: ListNode, hints: tuple[Any, ...], path: Path) -> Any:
        """Each member in its place; a list of which one is broken beyond a stand-in is broken."""
        made = []
        for place, (member, hint) in enumerate(zip(node.members, hints, strict=True)):
            value = self.value(member, hint, (*path, place))
            made.append(stand_in(hint) if value is BROKEN else value)
        return BROKEN if any(one is BROKEN for one in made) else made

    def _of_text(
        self,
        node: ScalarNode,
        options: tuple[Any, ...],
        metas: tuple[msgspec.Meta, ...],
        path: Path,
    ) -> Any:
        if words := words_of(options):
            return self._choice(node.text, words, path)
        if bool in options and node.plain and node.text.lower() in yes_no(options):
            return YES_NO[node.text.lower()]
        if int in options and node.plain and _WHOLE.fullmatch(node.text):
            return self._kept(int(node.text), metas, path)
        if str in options and not (node.plain and node.text == ""):
            return self._kept(node.text, metas, path)
        return self._unfit(options, path, empty=_is_nothing(node))

    def _choice(self, text: str, words: tuple[str, ...], path: Path) -> Any:
        if text in words:
            return text
        self._add(Problem("not-a-choice", path, {}, nearest(text, words)))
        return BROKEN

    def _kept(
        self,
        value: str | int,
        metas: tuple[msgspec.Meta, ...],
        path: Path,
        name: ScalarNode | None = None,
    ) -> Any:
        """The value, unless it is beyond what the field holds; of a `name`, where it stands."""
        for meta in metas:
            try:
                msgspec.convert(value, Annotated[type(value), meta])
            except msgspec.ValidationError:
                wrong = _beyond(value, meta, path)
                if name:
                    wrong = replace(wrong, word=name.text, line=name.line, column=name.column)
                self._add(wrong)
                return BROKEN
        return value

    def _untyped(self, node: Node, path: Path) -> Any:
        """A value of no declared type: text, whole number, true or false, list, mapping."""
        match node:
            case MappingNode():
                return {k: self._untyped(one, (*path, k)) for k, one in node.members.items()}
            case ListNode():
                return [
                    self._untyped(one, (*path, place)) for place, one in enumerate(node.members)
                ]
            case ScalarNode():
                if node.plain and node.text in _NOTHING:
                    self._add(Problem("value-empty", path))
                    return ""
                if node.plain and node.text in {"true", "false"}:
                    return node.text == "true"
                whole = node.plain and _WHOLE.fullmatch(node.text)
                return int(node.text) if whole else node.text

    def _unfit(self, options: tuple[Any, ...], path: Path, *, empty: bool = False) -> Any:
        code = "value-empty" if empty else "kind-wrong"
        self._add(Problem(code, path, {} if empty else {"wanted": wanted(options)}))
        return BROKEN

    def _add(self, problem: Problem) -> None:
        self.problems.append(problem)


def _beyond(value: str | int, meta: msgspec.Meta, path: Path) -> Problem:
    """What a value is beyond: blank, a code of odd characters, too long, too small, too large."""
    if isinstance(value, int):
        return Problem("number-range", path, {"least": meta.ge, "most": meta.le})
    if not value.strip():
        return Problem("text-blank", path)
    if meta.max_length is not None and len(value) > meta.max_length:
        return Problem("text-long", path, {"most": meta.max_length})
    return Problem((meta.extra or {}).get("malformed", "code-unfit"), path)


def _is_nothing(node: Node) -> bool:
    return isinstance(node, ScalarNode) and node.plain and node.text in _NOTHING
