"""The fields of a command as somebody typed them, each with its label."""

from collections.abc import Iterator, Mapping
from typing import Any

from prep.record.procedure.document import Procedure
from prep.words.commands import label
from prep.words.reader import Reader, say


def typed_text(
    tag: str, fields: Mapping[str, Any], procedure: Procedure | None, reader: Reader
) -> Iterator[tuple[str, str]]:
    """The fields of a command as they were typed, each with its label; steps by their titles."""
    step = procedure.steps.get(str(fields.get("step", ""))) if procedure else None
    line = step.by_line.get(str(fields.get("line", ""))) if step else None
    named = {"step": step.title if step else "", "line": line.ask if line else ""}
    for name, value in fields.items():
        shown = named.get(name) or _plain(value, reader)
        if shown:
            yield label(tag, name, reader), shown


def _plain(value: Any, reader: Reader) -> str:
    if isinstance(value, bool):
        return say(reader, "yes") if value else say(reader, "no")
    if isinstance(value, Mapping):
        return _plain(list(value.values()), reader)
    if isinstance(value, list):
        return ", ".join(filter(None, (_plain(one, reader) for one in value)))
    return "" if value is None else str(value)
