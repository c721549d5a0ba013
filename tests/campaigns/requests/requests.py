"""Requests of the published schema, in most of which something is put at an edge."""

import copy
import json
import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final
from uuid import UUID

import schemathesis
from hypothesis import strategies as st
from schemathesis import Case, GenerationMode
from schemathesis.core import NotSet

from tests.campaigns.requests import edges

MARK: Final = "put here what is at the edge"


@dataclass
class Sent:
    """A request that is about to be sent: a case of the schema, with other headers or bytes."""

    case: Case
    headers: dict[str, str] = field(default_factory=dict)
    content: bytes | None = None


def cases_of(operation: Any) -> st.SearchStrategy[Case]:
    """Requests as the schema says, and against it."""
    right = operation.as_strategy(generation_mode=GenerationMode.POSITIVE)
    return st.one_of(right, right, operation.as_strategy(generation_mode=GenerationMode.NEGATIVE))


def at_an_edge(case: Case, known: Mapping[str, list[str]], chance: random.Random) -> Sent:
    """A request with one part of it at an edge; `known` are things there are, by name."""
    sent = Sent(case)
    if chance.random() < 0.8:  # a request that is wrong in everything never gets far
        _settle(sent, chance)
        _name_what_there_is(sent, known, chance)
    move = chance.choice(MOVES)
    if move is not None:
        move(sent, chance)
    return sent


def _settle(sent: Sent, chance: random.Random) -> None:
    """Usual headers, few parameters, and mostly the body that the schema shows."""
    sent.case.headers.clear()
    sent.headers["Idempotency-Key"] = str(UUID(int=chance.getrandbits(128), version=4))
    sent.headers["If-Match"] = "*"
    needed = {parameter.name for parameter in sent.case.operation.query if parameter.is_required}
    if chance.random() < 0.8:
        query = (sent.case.query or {}).items()
        sent.case.query = {name: value for name, value in query if name in needed}
    if chance.random() < 0.8:
        _take_the_example(sent, chance)


def _take_the_example(sent: Sent, chance: random.Random) -> None:
    described = sent.case.operation.definition.raw.get("requestBody", {}).get("content", {})
    examples = described.get("application/json", {}).get("examples", {})
    if examples and sent.case.media_type == "application/json":
        sent.case.body = copy.deepcopy(chance.choice(list(examples.values()))["value"])


def _name_what_there_is(sent: Sent, known: Mapping[str, list[str]], chance: random.Random) -> None:
    body = sent.case.body if isinstance(sent.case.body, dict) else {}
    for place in (sent.case.path_parameters or {}, sent.case.query or {}, body):
        for name in place:
            if name in known:
                place[name] = chance.choice(known[name])


def _path(sent: Sent, chance: random.Random) -> None:
    values = sent.case.path_parameters or {}
    if values:
        name = chance.choice(sorted(values))
        values[name] = chance.choice((*edges.NUMBERS, *edges.SEGMENTS, *edges.KEYS))


def _query(sent: Sent, chance: random.Random) -> None:
    names = [parameter.name for parameter in sent.case.operation.query]
    name = chance.choice([*names, "made_up"])
    values: tuple[str, ...] = (*edges.MOMENTS, *edges.DAYS, *edges.NUMBERS, *edges.TEXTS)
    if name == "cursor":
        values = edges.CURSORS
    right = {key: value for key, value in (sent.case.query or {}).items() if key in names}
    kept = right if chance.random() < 0.3 else {}
    sent.case.query = {**kept, name: chance.choice(values)}


def _header(sent: Sent, chance: random.Random) -> None:
    name = chance.choice(sorted(edges.HEADERS))
    sent.headers[name] = chance.choice(edges.HEADERS[name])


def _value(sent: Sent, chance: random.Random) -> None:
    """One value of a JSON body; of any other the whole."""
    body = sent.case.body
    if isinstance(body, NotSet) or sent.case.media_type != "application/json":
        _body(sent, chance)
        return
    path = chance.choice([*_places(body), ()])
    values: tuple[str, ...] = edges.JSON_VALUES
    if "document" in path:
        values = tuple(json.dumps(text) for text in edges.DOCUMENTS)
    text = json.dumps(_with(body, path, MARK)).replace(json.dumps(MARK), chance.choice(values), 1)
    sent.content = text.encode()


def _body(sent: Sent, chance: random.Random) -> None:
    if not isinstance(sent.case.body, NotSet):
        of_json = sent.case.media_type == "application/json"
        sent.content = chance.choice(edges.JSON_BODIES if of_json else edges.FILES)


# What is put at an edge; of ten requests one is left as it is.
MOVES: Final[tuple[Callable[[Sent, random.Random], None] | None, ...]] = (
    None,
    _path,
    _query,
    _query,
    _query,
    _header,
    _header,
    _value,
    _value,
    _body,
)


def _places(value: Any, path: tuple[Any, ...] = ()) -> Any:
    """Every place in a JSON value, by its path."""
    members: Any = ()
    if isinstance(value, dict):
        members = value.items()
    elif isinstance(value, list):
        members = enumerate(value)
    for key, member in members:
        yield (*path, key)
        yield from _places(member, (*path, key))


def _with(value: Any, path: tuple[Any, ...], other: Any) -> Any:
    """A JSON value with another one at a place in it."""
    if not path:
        return other
    copy = dict(value) if isinstance(value, dict) else list(value)
    copy[path[0]] = _with(copy[path[0]], path[1:], other)
    return copy


def operations_of(published: dict[str, Any]) -> list[Any]:
    """The operations of a published schema; the campaign itself says who asks."""
    open_to_all = copy.deepcopy(published)
    open_to_all["components"].pop("securitySchemes", None)
    for methods in open_to_all["paths"].values():
        for operation in methods.values():
            operation.pop("security", None)
    schema = schemathesis.openapi.from_dict(open_to_all)
    return [found.ok() for found in schema.get_all_operations()]
