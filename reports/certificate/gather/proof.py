"""Proof of a release: its place in the log, and the first signed checkpoint over it."""

import base64
from collections.abc import Iterable
from typing import Final

from prep.actions import sealing
from prep.models import Event
from prep.queries import log
from prep.record.log import signed_notes
from prep.record.log.envelope import leaf_data
from reports.certificate.facts import ProofFacts

BLANK_LINE: Final = "\n\n"  # ends the text of a signed note


def proof_of(release: Event, events: Iterable[Event]) -> ProofFacts:
    """Proof facts of a release; seals the log first where the release is not sealed yet.

    `events` are the unit's events up to the release.
    """
    position = log.position_of(release.pk)
    if position is None:
        sealing.seal()
        position = log.position_of(release.pk)
    assert position is not None  # sealing places every event
    checkpoint = log.first_checkpoint_over(position)
    assert checkpoint is not None  # and signs over it
    parsed = signed_notes.parse_checkpoint(f"{checkpoint.note.partition(BLANK_LINE)[0]}\n")
    return ProofFacts(
        log=parsed.origin,
        position=position,
        size=checkpoint.size,
        root=checkpoint.root,
        leaf=release.leaf,
        key=_key_of(checkpoint.note),
        entry=leaf_data(release.envelope()).decode(),
        tlog=log.proof_text(release.pk, checkpoint),
        events=tuple(event.envelope() for event in events),
    )


def _key_of(note: str) -> str:
    """The published key whose signature stands under a note."""
    signature = note.rstrip("\n").rpartition(" ")[2]
    key_id = base64.b64decode(signature)[: signed_notes.KEY_ID_BYTES]
    return next(key.text for key in log.public_keys() if key.id == key_id)
