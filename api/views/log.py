"""Endpoints of the log: checkpoints, public keys, and inclusion and consistency proofs."""

from datetime import datetime
from typing import Annotated

import msgspec
from rest_framework.permissions import AllowAny

from api.inputs import Query
from api.operations import View, reads
from prep.models import Checkpoint
from prep.queries import log
from prep.queries.events import leaf_of
from prep.queries.people import sites_of
from prep.record.reads import permit_read
from prep.record.refusal import Refusal
from prep.record.token.scopes import READ

Size = Annotated[int, msgspec.Meta(ge=1, le=2**53)]


class ShownCheckpoint(msgspec.Struct, frozen=True, kw_only=True):
    """A checkpoint: the root over the first `size` entries; `note` is the signed text."""

    size: int
    root: str
    note: str
    created: datetime


class ShownKey(msgspec.Struct, frozen=True, kw_only=True):
    """A public key of the log, as a verifier key of the signed-note format."""

    name: str
    verifier: str


class KeyList(msgspec.Struct, frozen=True, kw_only=True):
    """Keys, the oldest first."""

    items: list[ShownKey]


class ProofQuery(Query, frozen=True, kw_only=True):
    """The checkpoint to prove against; without one, the newest."""

    size: Size | None = None


class ShownProof(msgspec.Struct, frozen=True, kw_only=True):
    """Inclusion proof of an event under a checkpoint.

    `hashes` lead from the leaf to the root, in hex; `proof` is the same as tlog-proof text, to
    keep with the event.
    """

    event: int
    leaf: str
    position: int
    size: int
    root: str
    hashes: list[str]
    proof: str


class ConsistencyQuery(Query, frozen=True, kw_only=True):
    """Two sizes of the log."""

    older: Size
    newer: Size


class ShownConsistency(msgspec.Struct, frozen=True, kw_only=True):
    """Proof that the first `older` entries are unchanged among the first `newer`."""

    older: int
    newer: int
    older_root: str
    newer_root: str
    hashes: list[str]


class CheckpointView(View):
    """The newest checkpoint."""

    tag = "log"
    reading = READ

    @reads
    def get(self) -> ShownCheckpoint:
        """Look at the newest checkpoint."""
        _may_read(self)
        return _shown(_latest())


class CheckpointOfView(View):
    """An older checkpoint."""

    tag = "log"
    reading = READ

    @reads
    def get(self, size: int) -> ShownCheckpoint:
        """Look at the checkpoint over so many entries."""
        _may_read(self)
        return _shown(log.checkpoint_of(size))


class KeysView(View):
    """The log's public keys.

    Public, so that the holder of a bundle can get them from here and not from the bundle.
    """

    tag = "log"
    reading = READ
    permission_classes = (AllowAny,)

    @reads
    def get(self) -> KeyList:
        """List the log's public keys. Nobody needs to sign in for that."""
        keys = log.public_keys()
        return KeyList(items=[ShownKey(name=key.name, verifier=key.text) for key in keys])


class ProofView(View):
    """Inclusion proofs."""

    tag = "log"
    reading = READ

    @reads
    def get(self, event: int, query: ProofQuery) -> ShownProof:
        """Prove that an event is in the log.

        `event` is the id a history gives. An event is sealed a moment after it is recorded;
        before that there is no proof of it yet.
        """
        _may_read(self)
        leaf = leaf_of(event, sites_of(self.person))
        checkpoint = log.checkpoint_of(query.size) if query.size else _latest()
        text = log.proof_text(event, checkpoint)
        position = log.position_of(event)
        assert position is not None  # proof_text refuses an event without a position
        path = log.inclusion_proof(position, checkpoint.size)
        return ShownProof(
            event=event,
            leaf=leaf,
            position=position,
            size=checkpoint.size,
            root=checkpoint.root,
            hashes=[part.hex() for part in path],
            proof=text,
        )


class ConsistencyView(View):
    """Consistency proofs."""

    tag = "log"
    reading = READ

    @reads
    def get(self, query: ConsistencyQuery) -> ShownConsistency:
        """Prove that the log was only added to."""
        _may_read(self)
        sealed = log.size()
        if not query.older <= query.newer <= sealed:
            raise Refusal("sizes-unfit", field="newer", sealed=sealed)
        proof = log.consistency_proof(query.older, query.newer)
        return ShownConsistency(
            older=query.older,
            newer=query.newer,
            older_root=log.root(query.older).hex(),
            newer_root=log.root(query.newer).hex(),
            hashes=[part.hex() for part in proof],
        )


def _may_read(view: View) -> None:
    held = sites_of(view.person).values()
    permit_read("proof.view", frozenset(role for roles in held for role in roles))


def _latest() -> Checkpoint:
    newest = log.latest_checkpoint()
    if newest is None:
        raise Refusal("not-sealed")
    return newest


def _shown(checkpoint: Checkpoint) -> ShownCheckpoint:
    return ShownCheckpoint(
        size=checkpoint.size,
        root=checkpoint.root,
        note=checkpoint.note,
        created=checkpoint.created,
    )
