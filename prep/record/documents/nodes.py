"""What stands in a YAML document: texts, lists and mappings, each with its line and column.

Nothing is interpreted here. Whether `no`, `0170` or `1e3` is a text or a number follows from the
field it stands in.
"""

from dataclasses import dataclass, field

Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class ScalarNode:
    """A text as written; `plain` where it has no quotes, so that it may be a number."""

    text: str
    plain: bool
    line: int = 0
    column: int = 0

    def member(self, part: str | int) -> None:
        """A text has no members."""


@dataclass(frozen=True, slots=True)
class ListNode:
    """A list."""

    line: int = 0
    column: int = 0
    members: "list[Node]" = field(default_factory=list)

    def member(self, part: str | int) -> "Node | None":
        """The member at a place; None for none."""
        return self.members[part] if isinstance(part, int) and part < len(self.members) else None


@dataclass(frozen=True, slots=True)
class MappingNode:
    """Fields by name, in the order written; `keys` are the names where they stand."""

    line: int = 0
    column: int = 0
    members: "dict[str, Node]" = field(default_factory=dict)
    keys: dict[str, ScalarNode] = field(default_factory=dict)

    def member(self, part: str | int) -> "Node | None":
        """The member of a name; None for none."""
        return self.members.get(str(part))


Node = ScalarNode | ListNode | MappingNode


def node_at(root: Node, path: Path) -> Node:
    """The node at a path, or the last on the way to it that there is."""
    here = root
    for part in path:
        following = here.member(part)
        if following is None:
            return here
        here = following
    return here
