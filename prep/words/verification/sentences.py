"""What a verification found, as sentences, by code; `prep.verify.findings` has the codes.

Ids, columns and kinds are given as the database holds them: whoever looks into one needs them.
"""

from collections.abc import Mapping
from typing import Any, Final

from django.utils.translation import gettext_noop as _

from prep.words.reader import Reader, say
from prep.words.verification.sorts import named_values

LOG: Final = {
    "guard-missing": _(
        "The database's guard “{trigger}”, which refuses to change or delete what is in the log, "
        "is missing. Put it back: “manage.py guard”."
    ),
    "guard-altered": _(
        "The database's guard “{trigger}”, which refuses to change or delete what is in the log, "
        "was altered or switched off. Put it back: “manage.py guard”."
    ),
    "guard-added": _(
        "“{trigger}” was added to the database and may change what is written there. Remove it."
    ),
    "position-empty": _("Position {position} of the log is empty."),
    "positions-empty": _("Positions {first} to {last} of the log are empty."),
    "event-missing": _("The event at position {position} (row {id}) is missing or cannot be read."),
    "event-altered": _(
        "The event at position {position} (version {version} of {stream} {owner}, by {by}, "
        "recorded {recorded}) does not match the hash it was sealed with. The event was altered, "
        "swapped or moved, or its sealed hash was changed."
    ),
    "hash-missing": _("The sealed hash of position {position} is missing from the tree."),
    "hash-altered": _(
        "The hash stored with version {version} of {stream} {owner} (by {by}, recorded {recorded}) "
        "was altered."
    ),
    "waiting-unreadable": _("The event in row {id} cannot be read."),
    "waiting-altered": _(
        "Version {version} of {stream} {owner} (by {by}, recorded {recorded}) was altered before "
        "it was sealed."
    ),
    "waiting-missing": _("Event {id} is listed as waiting to be sealed, but does not exist."),
    "event-unplaced": _("Event {id} is neither sealed nor waiting to be sealed."),
    "event-placed-twice": _("Event {id} is sealed, but still listed as waiting to be sealed."),
    "version-missing": _("The event before version {version} of {stream} {owner} is missing."),
    "version-misplaced": _(
        "Version {version} of {stream} {owner} comes before the version it follows in the log."
    ),
    "node-missing": _("Node {node} of the tree is missing."),
    "node-wrong": _("Node {node} of the tree does not match the two nodes below it."),
    "node-extra": _("Node {node} of the tree covers no entries."),
    "entries-uncovered": _(
        "Entries from position {position} on are not under a checkpoint. Run “manage.py seal”. If "
        "they were under one before, it was removed."
    ),
}

# A checkpoint is called by the number of entries it covers.
CHECKPOINTS: Final = {
    "checkpoint-unreadable": _("Checkpoint {size}: its row cannot be read."),
    "checkpoint-invalid": _("Checkpoint {size}: its signed text is not valid. ({detail})"),
    "checkpoint-row-differs": _(
        "Checkpoint {size}: its row has a different size or root than the signed text."
    ),
    "checkpoint-extra-signature": _(
        "Checkpoint {size}: it has more signatures than the one it was signed with."
    ),
    "checkpoint-other-log": _(
        "Checkpoint {size}: it names the log “{origin}”, which its key does not sign."
    ),
    "checkpoint-retired-key": _(
        "Checkpoint {size}: it was signed with key {key} after that key had been replaced. Whoever "
        "still has that key may have made this checkpoint."
    ),
    "checkpoint-unlinked": _("Checkpoint {size}: it does not name the checkpoint before it."),
    "checkpoint-gap": _("Checkpoint {size}: the one before it, checkpoint {previous}, is missing."),
    "checkpoint-inserted": _(
        "Checkpoint {size}: it follows checkpoint {previous}, but another was added between them."
    ),
    "checkpoint-moment": _("Checkpoint {size}: its time is not that of its newest entry."),
    "checkpoint-log-short": _("Checkpoint {size}: the log now ends after entry {entries}."),
    "checkpoint-rootless": _(
        "Checkpoint {size}: its root cannot be recomputed, because nodes of the tree are missing "
        "or altered."
    ),
    "checkpoint-log-differs": _("Checkpoint {size}: the log under it is not the one signed."),
    "kept-invalid": _("The checkpoint you kept is not a signed checkpoint of this log. ({detail})"),
    "kept-other-key": _(
        "The checkpoint you kept was signed with key {key}, which this service does not publish. "
        "If it is a checkpoint of this log, the key was removed, and the log may have been signed "
        "again as a whole with another."
    ),
    "kept-log-short": _(
        "The checkpoint you kept, checkpoint {size}: the log now ends after entry {entries}."
    ),
    "kept-rootless": _(
        "The checkpoint you kept, checkpoint {size}: its root cannot be recomputed, because nodes "
        "of the tree are missing or altered."
    ),
    "kept-log-differs": _(
        "The checkpoint you kept, checkpoint {size}: the log under it is not the one signed."
    ),
    "key-altered": _("A published key was altered. ({detail})"),
    "key-not-here": _(
        "Key {key} is published as the newest key of the log, but this service cannot sign with "
        "it. ({detail}) If this is a copy made for an audit, compare the key with the one the "
        "dealership publishes; otherwise somebody else may have signed the log with it."
    ),
    "key-added": _(
        "Key {key} is in a place where no key was: the key after it does not follow it. It was "
        "added."
    ),
    "key-note-altered": _(
        "Key {key} does not say itself, under its own signature, which key it follows. Its note "
        "was altered."
    ),
    "key-before-missing": _("Key {key} follows key {before}, which was removed."),
    "key-unused": _("Key {key} never signed a checkpoint. It was added."),
    "key-unused-newest": _(
        "Key {key} never signed a checkpoint, and this service cannot sign with it. ({detail}) "
        "Unless you just created it, it was added."
    ),
}

ACCOUNTS: Final = {
    "account-above-roles": _(
        "{person} ({username}) is marked as a superuser or staff. Nobody here stands above the "
        "roles of the yards, and no command gives this mark."
    ),
    "account-activity": _("{person} ({username}) was let in or shut out; no event says so."),
    "account-added": _("The account of {person} ({username}) was added; no event mentions it."),
    "account-contact": _(
        "The e-mail or phone of {person} ({username}) was changed; no event says so. An invitation "
        "or a new password may be mailed to somebody else."
    ),
    "account-missing": _("The account of {person} ({username}) is missing; its events are there."),
    "account-password": _(
        "The password of {person} ({username}) was changed, and not through this service. Set a "
        "new one: “manage.py changepassword {username}”."
    ),
    "account-pin": _(
        "The PIN of {person} ({username}) was changed, and not through this service. Somebody else "
        "may have signed in this name. Have {person} set a new one."
    ),
    "account-preferences": _(
        "Language, units or number style of {person} ({username}) were changed; no event says so. "
        "What they typed with a comma or a point since may have been read otherwise."
    ),
    "account-renamed": _(
        "{person} is called otherwise in the account ({username}) now: the printed name or the "
        "user name was changed; no event says so."
    ),
}

INDEX: Final = {
    "count-wrong": _("Yard {site} says {kept} units under “{facet}”; there are {counted}."),
    "unit-missing": _("The row of unit {unit} is missing; its events are there."),
    "unit-added": _("The row of unit {unit} was added; no event mentions it."),
    "unit-unreplayable": _("The events of unit {unit} cannot be replayed. ({detail})"),
    "unit-unreadable": _("The rows of unit {unit} cannot be read. ({detail})"),
    "unit-column": _("Unit {unit}: “{column}” is {stored}; the log says {right}."),
    "stream-unreplayable": _("The events of {stream} {owner} cannot be replayed. ({detail})"),
    "row-missing": _("Missing: {row}."),
    "row-added": _("Added, no event mentions it: {row}."),
    "row-altered": _("Altered: {row}; columns: {columns}."),
    "row-unknown": _("Added, no event mentions it: {row}."),
    "wording-altered": _("The words kept under {digest} were altered."),
    "wording-missing": _("Words that somebody signed are missing: {digest}."),
    "buyer-missing": _("The row of buyer {buyer} is missing."),
    "buyer-moved": _("Buyer {buyer} was moved to another yard; no event says so."),
    "buyer-altered": _("The details of buyer {buyer} were altered."),
    "buyer-not-erased": _("Buyer {buyer} was erased by the log, but details are still there."),
    "buyer-erasure-altered": _("Buyer {buyer}: the time they were erased was altered."),
    "buyer-hold-altered": _("Buyer {buyer}: the legal hold is not what the log says."),
    "buyer-called-erased": _("Buyer {buyer} is marked as erased; no event says so."),
    "buyer-reference-unknown": _(
        "Unit {unit} refers to details of buyer {buyer} that are in none of the buyer's events."
    ),
    "buyer-reference-old": _("Unit {unit} does not refer to the newest details of buyer {buyer}."),
    "recipient-missing": _("The details of whoever received unit {unit} are missing."),
    "recipient-altered": _("The details of whoever received unit {unit} were altered."),
    "recipient-called-erased": _(
        "Whether the name of whoever received unit {unit} is erased: row and log do not agree."
    ),
    "recipient-not-erased": _(
        "The name of whoever received unit {unit} was erased by the log, but is still there."
    ),
    "photo-not-erased": _(
        "The photo {file} of unit {unit} was erased by the log, but its file is there again. Run: "
        "manage.py erase_again"
    ),
    "photo-unreadable": _("The photo {file} of unit {unit} cannot be read. ({detail})"),
    "photo-altered": _(
        "The photo {file} of unit {unit} was altered: it does not match its digest."
    ),
}

DOCUMENTS: Final = {
    "document-file-unreadable": _(
        "The file of the {kind} {number} is gone or cannot be read. Have it made again at the "
        "document, or with: manage.py remake {number}"
    ),
    "document-file-altered": _(
        "The file of the {kind} {number} was altered: it does not match its digest. Have it made "
        "again at the document, or with: manage.py remake {number}"
    ),
    "document-called-erased": _("The {kind} {number} is marked as erased; no event says so."),
    "document-not-erased": _(
        "The file of the {kind} {number} was erased by the log, but is there again. Run: manage.py "
        "erase_again"
    ),
    "document-size": _(
        "The size of the {kind} {number} was altered: its file does not have {bytes} bytes."
    ),
    "document-unissued": _("No event says that the {kind} {number} was issued."),
    "document-column": _("The {kind} {number}: “{column}” is {stored}; the log says {right}."),
    "document-missing": _("The {kind} {number} was issued, but is missing."),
    "document-log-short": _(
        "The {kind} {number} was issued over the log's first {size} entries: the log now ends "
        "after entry {entries}."
    ),
    "document-log-differs": _(
        "The {kind} {number} was issued over the log's first {size} entries: the log under it is "
        "not the one that it was issued over."
    ),
    "document-rootless": _(
        "The {kind} {number} was issued over the log's first {size} entries: their root cannot be "
        "recomputed, because nodes of the tree are missing or altered."
    ),
    "document-other-key": _(
        "The {kind} {number} holds a checkpoint that was signed with key {key}, which this service "
        "does not publish. The key was removed, and the log may have been signed again as a whole "
        "with another; or this service never issued the document."
    ),
    "document-root-invalid": _(
        "The {kind} {number} holds a checkpoint that is not a signed one of this log. ({detail})"
    ),
    "document-not-requested": _(
        "The {kind} of unit {unit} was never requested, though its history calls for one."
    ),
    "cursor-ahead": _("“{consumer}” says it has read {read} entries, more than the log has."),
    "file-stray": _(
        "The file {file} belongs to no record: it was added, or left behind when something was "
        "interrupted. Remove it from the storage."
    ),
    "check-unfinished": _("The check “{check}” could not be finished. ({detail})"),
}

SENTENCES: Final[Mapping[str, str]] = {**LOG, **CHECKPOINTS, **ACCOUNTS, **INDEX, **DOCUMENTS}

HOLDS: Final = _("Everything checked is as it was recorded.")
DIFFERS: Final = _("Not everything is as it was recorded.")


def finding_text(code: str, values: Mapping[str, Any], reader: Reader) -> str:
    """One finding as a sentence."""
    return say(reader, SENTENCES[code], **named_values(values, reader))


def verdict_text(reader: Reader, *, holds: bool) -> str:
    """The verdict of a verification."""
    return say(reader, HOLDS if holds else DIFFERS)
