"""What a verification looks at, in words: the sorts of its findings and the parts it counts."""

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any, Final

from django.utils.translation import gettext_noop as _

from prep.words.dates import short_moment
from prep.words.reader import Reader, say, say_count

# Headings of the findings of each sort, in the order they are listed.
SORTS: Final[dict[str, str]] = {
    "kept-checkpoint": _("The checkpoint you kept"),
    "guard": _("Guards of the database"),
    "event": _("Events of the log"),
    "position": _("Positions of the log"),
    "stream": _("Order of events"),
    "tree": _("Tree over the log"),
    "checkpoint": _("Signed checkpoints"),
    "key": _("Published keys of the log"),
    "unit": _("Units"),
    "step": _("Steps of units"),
    "reading": _("Readings"),
    "flag": _("Flags and concessions"),
    "sign-off": _("Signatures"),
    "shortage": _("Missing parts"),
    "photo": _("Photos"),
    "buyer": _("Details of buyers"),
    "recipient": _("Details of recipients"),
    "site": _("Yards"),
    "member": _("Roles"),
    "keeper": _("Addresses that keep checkpoints"),
    "account": _("Accounts of people"),
    "device": _("Devices of the yards"),
    "invitation": _("Invitations"),
    "card": _("Training cards"),
    "guest": _("Guests"),
    "model": _("Models and tractors"),
    "instrument": _("Tools"),
    "procedure": _("Procedures in force"),
    "refused": _("Entries that were not taken"),
    "wording": _("Words that people signed"),
    "count": _("Counts of the yard page"),
    "document": _("Issued documents"),
    "file": _("Stored files"),
    "cursor": _("Reading position of the document worker"),
    "check": _("Checks that could not be finished"),
}

# What one row of these is called.
ROWS: Final[dict[str, str]] = {
    "unit": _("unit"),
    "step": _("step"),
    "reading": _("reading"),
    "flag": _("flag"),
    "sign-off": _("signature"),
    "shortage": _("missing part"),
    "photo": _("photo"),
    "buyer": _("buyer"),
    "guest": _("guest"),
    "site": _("yard"),
    "member": _("role"),
    "keeper": _("address that keeps checkpoints"),
    "device": _("device"),
    "model": _("model"),
    "instrument": _("tool"),
    "procedure": _("procedure"),
    "refused": _("entry not taken"),
    "account": _("account"),
    "person": _("account"),
    "invitation": _("invitation"),
    "card": _("training card"),
    "wording": _("statement"),
}
# What a document of each kind is called within a sentence.
DOCUMENTS: Final[dict[str, str]] = {
    "certificate": _("delivery certificate"),
    "registration": _("warranty registration"),
    "sheet": _("blank sheet"),
    "labels": _("set of labels"),
    "audit": _("audit bundle"),
    "verification": _("verification report"),
}
ROW: Final = _("{sort} {key}")
ROW_OF: Final = _("{sort} {key} of {owner_sort} {owner}")

_PARTS: Final[dict[str, Callable[[Reader, int], str]]] = {
    "guards": lambda reader, n: say_count(
        reader, "{count} guard of the database", "{count} guards of the database", n
    ),
    "events": lambda reader, n: say_count(reader, "{count} event", "{count} events", n),
    "waiting-events": lambda reader, n: say_count(
        reader, "{count} event not sealed yet", "{count} events not sealed yet", n
    ),
    "streams": lambda reader, n: say_count(reader, "{count} history", "{count} histories", n),
    "nodes": lambda reader, n: say_count(reader, "{count} tree node", "{count} tree nodes", n),
    "checkpoints": lambda reader, n: say_count(
        reader, "{count} checkpoint", "{count} checkpoints", n
    ),
    "reference-data": lambda reader, n: say_count(
        reader,
        "{count} yard, model, tool, procedure, buyer or entry not taken",
        "{count} yards, models, tools, procedures, buyers and entries not taken",
        n,
    ),
    "accounts": lambda reader, n: say_count(reader, "{count} account", "{count} accounts", n),
    "wordings": lambda reader, n: say_count(
        reader, "{count} signed statement", "{count} signed statements", n
    ),
    "units": lambda reader, n: say_count(reader, "{count} unit", "{count} units", n),
    "counts": lambda reader, n: say_count(
        reader, "counts of {count} yard", "counts of {count} yards", n
    ),
    "documents": lambda reader, n: say_count(reader, "{count} document", "{count} documents", n),
    "files": lambda reader, n: say_count(reader, "{count} file", "{count} files", n),
}
PARTS: Final = frozenset(_PARTS)


def sort_title(sort: str, reader: Reader) -> str:
    """The heading over the findings of one sort."""
    return say(reader, SORTS[sort])


def part_text(part: str, count: int, reader: Reader) -> str:
    """How many of one part were checked."""
    return _PARTS[part](reader, count)


def row_name(named: Mapping[str, Any], reader: Reader) -> str:
    """What a row is called: its sort, what people know it by, and what it belongs to."""
    sort, key, owner = named["sort"], named.get("label") or named["key"], named.get("owner")
    called = say(reader, ROWS[sort])
    if owner is None or (owner[0], owner[1]) == (sort, named["key"]):
        return say(reader, ROW, sort=called, key=key)
    owner_sort, owner_key = say(reader, ROWS[owner[0]]), owner[1]
    return say(reader, ROW_OF, sort=called, key=key, owner_sort=owner_sort, owner=owner_key)


def named_values(values: Mapping[str, Any], reader: Reader) -> dict[str, Any]:
    """The values of a finding or a statement with its tokens in words."""
    named = dict(values)
    if "sort" in named:
        named["row"] = row_name(named, reader)
    if "columns" in named:
        named["columns"] = ", ".join(named["columns"])
    if "stream" in named:
        named["stream"] = say(reader, ROWS.get(named["stream"], "")) or named["stream"]
    if "kind" in named:
        named["kind"] = say(reader, DOCUMENTS.get(named["kind"], "")) or named["kind"]
    if "recorded" in named:
        named["recorded"] = short_moment(datetime.fromisoformat(named["recorded"]), reader)
    return named
