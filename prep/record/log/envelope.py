"""Envelope of an event: the values hashed into the log's Merkle tree.

Its canonical JSON is the leaf. Changing who, when, what or the order within a stream changes the
leaf hash, and with it each sealed root after it.
"""

import json
from datetime import UTC, datetime
from typing import Any

from prep.record.log import canonical_json
from prep.record.log.merkle_tree import leaf_hash


def moment(when: datetime) -> str:
    """A time as RFC 3339 text in UTC with microseconds, so equal times are equal text."""
    return when.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def envelope(
    *,
    stream: str,
    stream_id: str,
    version: int,
    kind: str,
    schema: int,
    body: str,
    actor: str,
    actor_name: str,
    site: str,
    device: str,
    drift: int | None,
    named: str,
    named_name: str,
    happened: datetime,
    recorded: datetime,
    command: str,
    part: int,
    request: str,
    facts: str,
) -> dict[str, Any]:
    """The envelope as JSON-ready values; `body` and `facts` are canonical JSON texts.

    `drift` is in whole seconds, null where it was not measured. `named` is null where the actor is
    the author, and an object as soon as its id or its name is held: a name slipped in beside an
    empty id changes the leaf. Both members are always there: equal events have one canonical form.
    """
    return {
        "stream": stream,
        "id": stream_id,
        "version": version,
        "kind": kind,
        "schema": schema,
        "body": json.loads(body),
        "actor": actor,
        "name": actor_name,
        "site": site,
        "device": device,
        "drift": drift,
        "named": {"id": named, "name": named_name} if named or named_name else None,
        "happened": moment(happened),
        "recorded": moment(recorded),
        "command": command,
        "part": part,
        "request": request,
        "facts": json.loads(facts),
    }


def leaf_data(values: dict[str, Any]) -> bytes:
    """Canonical bytes of an envelope."""
    return canonical_json.encode(values)


def leaf(values: dict[str, Any]) -> bytes:
    """RFC 6962 leaf hash of an envelope: 32 bytes."""
    return leaf_hash(leaf_data(values))
