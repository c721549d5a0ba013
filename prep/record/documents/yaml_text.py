"""Reading YAML within bounds: a text or a file as nodes, or everything that is wrong with it.

The parser's events are taken one by one and never constructed into objects, so that tags, anchors
and nesting cost nothing: a document is at most so long, so deep and of so many parts. What is not
needed to write a procedure is refused by name: tags, several documents in a file. An alias counts
as often as it is used, with all that its anchor holds.
"""

import codecs
import re
from dataclasses import dataclass, field
from itertools import islice
from typing import Final

import yaml
from yaml import CLoader

from prep.record.documents.nodes import ListNode, MappingNode, Node, ScalarNode
from prep.record.documents.problems import MOST_KNOWN, Problem, clipped, nearest, unfit
from prep.record.refusal import Refusal

# The largest procedure known has 80 kB, 5,000 parts and 10 levels.
MOST_BYTES: Final = 900_000
MOST_PARTS: Final = 30_000
DEEPEST: Final = 30
SUGGESTED: Final = 100  # problems for which the name that was meant is looked for

# What YAML 1.2.2 (5.1, “printable characters”) leaves out, and lone halves of characters.
_UNPRINTABLE: Final = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\ufffe\uffff]"
)
_CHARACTER: Final = (
    "found character that cannot start any token",
    "found a tab character that violates indentation",
)
_UTF16: Final = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)


def decoded(content: bytes) -> str:
    """The text of a file: UTF-8, or what its byte order mark says. Refusal of any other."""
    if len(content) > MOST_BYTES:
        raise unfit([Problem("yaml-long", (), {"most": MOST_BYTES // 1000})])
    encoding = "utf-16" if content.startswith(_UTF16) else "utf-8-sig"
    try:
        return content.decode(encoding)
    except UnicodeDecodeError as wrong:
        line = content.count(b"\n", 0, wrong.start) + 1
        raise unfit([Problem("yaml-encoding", (), {"line": line}, line=line, column=1)]) from wrong


def read_nodes(text: str) -> tuple[Node, list[Problem]]:
    """The document in a text, and what in it is no part of a document.

    Refusal where it cannot be read to its end: not YAML, too long, too deep, of too many parts.
    """
    if len(text) > MOST_BYTES:
        raise unfit([Problem("yaml-long", (), {"most": MOST_BYTES // 1000})])
    if match := _UNPRINTABLE.search(text):
        raise unfit([_unprintable(text, match)])
    reading = _Reading()
    try:
        for event in yaml.parse(text, Loader=CLoader):
            reading.take(event)
    except yaml.YAMLError as wrong:
        raise unfit([*reading.problems, _not_yaml(wrong)]) from wrong
    if reading.root is None:
        raise unfit([Problem("yaml-empty", ())])
    return reading.root, reading.problems


def _unprintable(text: str, match: re.Match[str]) -> Problem:
    before = text[: match.start()]
    line = before.count("\n") + 1
    column = match.start() - before.rfind("\n")
    character = f"U+{ord(match[0]):04X}"
    return Problem("yaml-unprintable", (), {"character": character}, line=line, column=column)


def _not_yaml(wrong: yaml.YAMLError) -> Problem:
    mark = getattr(wrong, "problem_mark", None)
    detail = str(getattr(wrong, "problem", None) or type(wrong).__name__)
    line, column = (mark.line + 1, mark.column + 1) if mark else (0, 0)
    if detail in _CHARACTER:
        return Problem("yaml-character", (), {}, line=line, column=column)
    return Problem("yaml-syntax", (), {"detail": clipped(detail)}, line=line, column=column)


@dataclass
class _Open:
    """A list or mapping whose end has not come yet; `key` is the name that waits for its value.

    `part` is its own place in what it stands in, `began` the count of parts where it began, and
    `height` how many levels it has so far. With `drop` the next value has no name.
    """

    node: ListNode | MappingNode
    part: str | int | None
    began: int
    anchor: str | None
    key: ScalarNode | None = None
    drop: bool = False
    height: int = 1

    @property
    def following(self) -> str | int | None:
        """The place of the node that comes next."""
        if isinstance(self.node, ListNode):
            return len(self.node.members)
        return self.key.text if self.key else None


@dataclass(frozen=True)
class _Anchored:
    """A node with a name, and what an alias of it counts for."""

    node: Node
    parts: int = 1
    height: int = 0


@dataclass
class _Reading:
    """The nodes made of the events so far."""

    root: Node | None = None
    problems: list[Problem] = field(default_factory=list)
    parts: int = 0
    open: list[_Open] = field(default_factory=list)
    anchored: dict[str, _Anchored] = field(default_factory=dict)

    def take(self, event: yaml.Event) -> None:
        """One event of the parser."""
        mark = event.start_mark
        place = (mark.line + 1, mark.column + 1) if mark else (0, 0)
        if isinstance(event, yaml.DocumentStartEvent) and self.root is not None:
            raise self._stop("yaml-several", place)
        if isinstance(event, yaml.CollectionEndEvent):
            self._close()
        if not isinstance(event, yaml.NodeEvent):
            return
        self._count(1, place)
        if isinstance(event, yaml.AliasEvent):
            self._repeat(event.anchor or "", place)
            return
        self._look_at_tag(event, place)
        if isinstance(event, yaml.ScalarEvent):
            node = ScalarNode(event.value, event.implicit[0], *place)
            self._put(node)
            if event.anchor:
                self.anchored[event.anchor] = _Anchored(node)
        else:
            mapping = isinstance(event, yaml.MappingStartEvent)
            self._begin(MappingNode(*place) if mapping else ListNode(*place), event.anchor)

    def _begin(self, node: ListNode | MappingNode, anchor: str | None) -> None:
        part = self.open[-1].following if self.open else None
        self._put(node)
        self.open.append(_Open(node, part, self.parts, anchor))
        self._check_depth(0, (node.line, node.column))

    def _close(self) -> None:
        done = self.open.pop()
        if self.open:
            self.open[-1].height = max(self.open[-1].height, done.height + 1)
        if done.anchor:
            parts = self.parts - done.began + 1
            self.anchored[done.anchor] = _Anchored(done.node, parts, done.height)

    def _repeat(self, name: str, place: tuple[int, int]) -> None:
        """An alias: the node of its anchor, which must be complete."""
        anchored = self.anchored.get(name)
        if anchored is None:
            few = len(self.problems) < SUGGESTED
            known = tuple(islice(self.anchored, MOST_KNOWN)) if few else ()
            self._note("yaml-alias", place, nearest(name, known), name=clipped(name))
            self._put(ScalarNode(name, False, *place))
            return
        self._count(anchored.parts, place)
        self._check_depth(anchored.height, place)
        if self.open:
            self.open[-1].height = max(self.open[-1].height, anchored.height + 1)
        self._put(anchored.node)

    def _count(self, parts: int, place: tuple[int, int]) -> None:
        self.parts += parts
        if self.parts > MOST_PARTS:
            raise self._stop("yaml-parts", place, most=MOST_PARTS)

    def _check_depth(self, more: int, place: tuple[int, int]) -> None:
        if len(self.open) + more > DEEPEST:
            raise self._stop("yaml-deep", place, most=DEEPEST)

    def _look_at_tag(self, event: yaml.NodeEvent, place: tuple[int, int]) -> None:
        """Refuse a tag; a scalar in quotes may have “!” by itself."""
        tag = getattr(event, "tag", None)
        if tag and tag != "!":
            named = tag.replace("tag:yaml.org,2002:", "!!")
            self._note("yaml-tag", place, tag=clipped(named))

    def _put(self, node: Node) -> None:
        if not self.open:
            self.root = node
            return
        last = self.open[-1]
        if isinstance(last.node, ListNode):
            last.node.members.append(node)
        elif last.key is not None or last.drop:
            if last.key is not None:
                last.node.members[last.key.text] = node
            last.key, last.drop = None, False
        elif not isinstance(node, ScalarNode):
            self._note("yaml-key", (node.line, node.column))
            last.drop = True
        elif node.text in last.node.members:
            self._note("yaml-key-twice", (node.line, node.column), name=clipped(node.text))
            last.drop = True
        else:
            last.node.keys[node.text] = last.key = node

    def _note(
        self,
        code: str,
        place: tuple[int, int],
        allowed: tuple[str, ...] = (),
        **values: str | int,
    ) -> None:
        line, column = place
        self.problems.append(Problem(code, self._path(), values, allowed, line=line, column=column))

    def _path(self) -> tuple[str | int, ...]:
        """Where the reader stands."""
        parts = [each.part for each in self.open]
        if self.open:
            parts.append(self.open[-1].following)
        return tuple(part for part in parts if part is not None)

    def _stop(self, code: str, place: tuple[int, int], **values: str | int) -> Refusal:
        """The refusal of a document that is not read further."""
        self._note(code, place, (), **values)
        return unfit(self.problems)
