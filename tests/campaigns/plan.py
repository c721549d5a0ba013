"""How many changes a campaign makes, and how one is told from the next."""

import os
import random
from collections.abc import Callable, Iterator
from typing import Any, Final

VARIABLE: Final = "YARDPROOF_CAMPAIGN"
COUNT: Final = int(os.environ.get(VARIABLE, "320"))
SHARDS: Final = 4  # of the changes of rows, so that several processes share them
SHARES: Final = {  # of a hundred
    "rows": 33,
    "bundle": 17,
    "forgery": 8,
    "certificate": 10,
    "forged-certificate": 10,
    "checkpoint": 10,
    "database": 12,
}


def chances(kind: str, shard: int = 0, shards: int = 1) -> Iterator[random.Random]:
    """A source of chance for each change of a kind, the same in every run."""
    for number in range(shard, max(1, COUNT * SHARES[kind] // 100), shards):
        yield random.Random(f"{kind} {number}")


def altered_text(value: str, chance: random.Random, letters: str = "09 aZ+\n") -> str:
    """A character more, less or another."""
    place = chance.randrange(len(value) + 1)
    kind = chance.choice(["more", "less", "other"]) if value else "more"
    if kind == "more":
        return value[:place] + chance.choice(letters) + value[place:]
    place = min(place, len(value) - 1)
    if kind == "less":
        return value[:place] + value[place + 1 :]
    other = chance.choice([c for c in '019afZ{}" ' if c != value[place]])
    return value[:place] + other + value[place + 1 :]


def altered_bytes(content: bytes, chance: random.Random) -> bytes:
    """A bit turned, a piece taken out, put in, doubled or turned round, the end cut or lengthened.

    A piece that reads the same backwards comes out as it was; callers pass over that.
    """
    start = chance.randrange(len(content))
    stop = min(len(content), start + chance.randrange(1, 40))
    piece = content[start:stop]
    kinds: list[Callable[[], bytes]] = [
        lambda: (
            content[:start]
            + bytes([content[start] ^ 1 << chance.randrange(8)])
            + content[start + 1 :]
        ),
        lambda: content[:start] + content[stop:],
        lambda: content[:start] + chance.randbytes(3) + content[start:],
        lambda: content[:stop] + piece + content[stop:],
        lambda: content[:start] + piece[::-1] + content[stop:],
        lambda: content[:start],
        lambda: content + chance.choice([b"\n", b"\0", b"%%EOF\n"]),
    ]
    return chance.choice(kinds)()


def places(value: Any) -> Any:
    """Every place in a JSON value: its holder, and the key or number in that."""
    members = value.items() if isinstance(value, dict) else enumerate(value)
    for key, member in members:
        yield value, key
        if isinstance(member, dict | list):
            yield from places(member)


def alter_value(value: Any, chance: random.Random) -> str:
    """One member of a JSON value, changed in place; which."""
    holder, key = chance.choice(list(places(value)))
    held = holder[key]
    if isinstance(held, str):
        holder[key] = altered_text(held, chance)
    elif isinstance(held, bool) or held is None:
        holder[key] = not held
    elif isinstance(held, int):
        holder[key] = held + 1
    elif isinstance(holder, dict):
        del holder[key]
    else:
        holder.insert(int(key), holder[key])
    return str(key)
