"""What a verification proved and what it could not, as sentences, by code.

A check that finds nothing proves what stands here under its name.
"""

from collections.abc import Callable, Iterable, Mapping
from typing import Any, Final

from django.utils.translation import gettext_noop as _

from prep.words.reader import Reader, say, say_count
from prep.words.verification.sorts import named_values

_CHECKS: Final[Mapping[str, str]] = {
    "guards": _("The database refuses to change or delete what is in the log."),
    "events": _("Every entry of the log is the one that was sealed."),
    "order": _("No history has a gap, and none is out of order."),
    "nodes": _("The tree over the log follows from its entries."),
    "checkpoints": _(
        "Every signed checkpoint is over this log, and signed with the log's keys in their order; "
        "the newest key is the one this service signs with."
    ),
    "reference_data": _(
        "Yards, roles, tokens, models, tools, procedures and buyers are what the log says they are."
    ),
    "logos": _("Every logo that a yard prints, or printed, is the picture that was set."),
    "sign_ins": _("Every sign-in to the API was made by this service."),
    "accounts": _(
        "Accounts of people are what the log says they are: names, passwords, PINs, invitations "
        "and training cards were set through this service. Nobody stands above the roles."
    ),
    "wordings": _("Every signature finds the words that were signed."),
    "units": _("Every unit's rows follow from its history, and its photos are those recorded."),
    "counts": _("The counts of the yard page are right."),
    "documents": _("Every issued document and its file are those the log names."),
    "files": _("No stored file is without a record."),
}

_SENTENCES: Final[Mapping[str, str]] = {
    **_CHECKS,
    "document-unjudged": _(
        "Whether the row of {kind} {number} is right: the event that issued it was altered."
    ),
    "stream-unjudged": _(
        "Whether what is kept of {stream} {owner} is right: its events were altered, so it is held "
        "against nothing."
    ),
    "unit-unjudged": _(
        "Whether the rows of unit {unit} are right: its events were altered, so they are held "
        "against nothing."
    ),
    "kept-none": _(
        "No checkpoint from outside was given. Nobody can tell from this log alone whether it was "
        "rewritten as a whole before the oldest certificate at hand was issued. Give one that was "
        "mailed or saved: “manage.py verify --older FILE”, or upload it on the Audit page."
    ),
    "kept-older": _(
        "Entries from position {position} on came after the newest checkpoint that was given. "
        "Whoever holds the signing key, or puts back an older state, could have changed those."
    ),
    "state-restored": _(
        "Whether an older state of database and files together was put back, in which everything "
        "later is missing. Only a checkpoint from outside that is newer than that state shows it."
    ),
    "new-events": _(
        "That each event was recorded by this service. Whoever can write to the database can add "
        "one that looks genuine, and it is sealed with the rest; from then on it cannot be changed."
    ),
    "not-evidence": _(
        "What is not part of the record: who is signed in on which device, counts of attempts at "
        "PINs and passwords, imports, and documents that were not issued yet. It changes without "
        "a trace in the log."
    ),
    "secrets": _(
        "That nobody else has the signing key or the service's secret key. Whoever has them can "
        "sign as this service does. If you suspect it: “manage.py seal --new-key”, and change the "
        "secret key."
    ),
}

_COUNTED: Final[Mapping[str, Callable[[Reader, Mapping[str, Any]], str]]] = {
    "kept-agree": lambda reader, values: say_count(
        reader,
        "{count} checkpoint from outside agrees with this log: its first {size} entries are those "
        "that were there when it was signed.",
        "{count} checkpoints from outside agree with this log: its first {size} entries are those "
        "that were there when the newest of them was signed.",
        values["count"],
        size=values["size"],
    ),
    "documents-agree": lambda reader, values: say_count(
        reader,
        "{count} issued document agrees with this log: its first {size} entries are those that "
        "were there when it was made.",
        "{count} issued documents agree with this log: its first {size} entries are those that "
        "were there when the newest of them was made.",
        values["count"],
        size=values["size"],
    ),
    "buyers-erased": lambda reader, values: say_count(
        reader,
        "The details of {count} buyer were erased as the log says, and nothing of them is left.",
        "The details of {count} buyers were erased as the log says, and nothing of them is left.",
        values["count"],
    ),
    "documents-erased": lambda reader, values: say_count(
        reader,
        "The file of {count} document was erased for the personal data in it, as the log says; its "
        "number and digest stay.",
        "The files of {count} documents were erased for the personal data in them, as the log "
        "says; their numbers and digests stay.",
        values["count"],
    ),
    "accounts-other-secret": lambda reader, values: say_count(
        reader,
        "Whether the password and PIN of {count} account are those that were set: they were set "
        "under another secret key of the service. Set them again.",
        "Whether the passwords and PINs of {count} accounts are those that were set: they were set "
        "under another secret key of the service. Set them again.",
        values["count"],
    ),
    "not-sealed": lambda reader, values: say_count(
        reader,
        "{count} event that is not sealed yet: until it is, it can be changed or removed without a "
        "trace. Run “manage.py seal”.",
        "{count} events that are not sealed yet: until they are, they can be changed or removed "
        "without a trace. Run “manage.py seal”.",
        values["count"],
    ),
}
STATEMENTS: Final = frozenset(_SENTENCES) | frozenset(_COUNTED)

PROVED: Final = _("Proved:")
UNPROVEN: Final = _("Not proved:")


def statement_text(code: str, values: Mapping[str, Any], reader: Reader) -> str:
    """One statement as a sentence."""
    if code in _COUNTED:
        return _COUNTED[code](reader, values)
    return say(reader, _SENTENCES[code], **named_values(values, reader))


def statement_lines(
    title: str, statements: Iterable[tuple[str, Mapping[str, Any]]], reader: Reader
) -> list[str]:
    """Lines of a list of statements below its title; none for an empty list."""
    said = [f"  {statement_text(code, values, reader)}" for code, values in statements]
    return [say(reader, title), *said] if said else []
