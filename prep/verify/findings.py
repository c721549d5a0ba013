"""Findings of a verification, and the callback that reports its progress."""

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType
from typing import Any, Final, Literal, NamedTuple

# What can be wrong. `prep.words.verification.sentences` has the sentence of each.
Code = Literal[
    "account-above-roles",
    "account-activity",
    "account-added",
    "account-contact",
    "account-missing",
    "account-password",
    "account-pin",
    "account-preferences",
    "account-renamed",
    "buyer-altered",
    "buyer-called-erased",
    "buyer-erasure-altered",
    "buyer-hold-altered",
    "buyer-missing",
    "buyer-moved",
    "buyer-not-erased",
    "buyer-reference-old",
    "buyer-reference-unknown",
    "check-unfinished",
    "checkpoint-extra-signature",
    "checkpoint-gap",
    "checkpoint-inserted",
    "checkpoint-invalid",
    "checkpoint-log-differs",
    "checkpoint-log-short",
    "checkpoint-moment",
    "checkpoint-other-log",
    "checkpoint-retired-key",
    "checkpoint-rootless",
    "checkpoint-row-differs",
    "checkpoint-unlinked",
    "checkpoint-unreadable",
    "count-wrong",
    "cursor-ahead",
    "document-called-erased",
    "document-column",
    "document-file-altered",
    "document-file-unreadable",
    "document-log-differs",
    "document-log-short",
    "document-missing",
    "document-not-erased",
    "document-not-requested",
    "document-other-key",
    "document-root-invalid",
    "document-rootless",
    "document-size",
    "document-unissued",
    "entries-uncovered",
    "event-altered",
    "event-missing",
    "event-placed-twice",
    "event-unplaced",
    "file-stray",
    "guard-added",
    "guard-altered",
    "guard-missing",
    "hash-altered",
    "hash-missing",
    "kept-invalid",
    "kept-log-differs",
    "kept-log-short",
    "kept-other-key",
    "kept-rootless",
    "key-added",
    "key-altered",
    "key-before-missing",
    "key-not-here",
    "key-note-altered",
    "key-unused",
    "key-unused-newest",
    "node-extra",
    "node-missing",
    "node-wrong",
    "photo-altered",
    "photo-not-erased",
    "photo-unreadable",
    "position-empty",
    "positions-empty",
    "recipient-altered",
    "recipient-called-erased",
    "recipient-missing",
    "recipient-not-erased",
    "row-added",
    "row-altered",
    "row-missing",
    "row-unknown",
    "stream-unreplayable",
    "unit-added",
    "unit-column",
    "unit-missing",
    "unit-unreadable",
    "unit-unreplayable",
    "version-misplaced",
    "version-missing",
    "waiting-altered",
    "waiting-missing",
    "waiting-unreadable",
    "wording-altered",
    "wording-missing",
]
# What a verification proved, and what it could not. `prep.words.verification.statements` has the
# sentence of each; a check that finds nothing proves what stands there under its name.
Proved = Literal[
    "buyers-erased",
    "documents-agree",
    "documents-erased",
    "kept-agree",
]
Unproven = Literal[
    "accounts-other-secret",
    "document-unjudged",
    "kept-none",
    "kept-older",
    "not-evidence",
    "new-events",
    "not-sealed",
    "secrets",
    "state-restored",
    "stream-unjudged",
    "unit-unjudged",
]
NOTHING: Final[Mapping[str, Any]] = MappingProxyType({})


class Fault(NamedTuple):
    """What is wrong with a thing whose sort and name are known, with what its sentence names."""

    code: Code
    values: Mapping[str, Any] = NOTHING


class Finding(NamedTuple):
    """One thing that is not as it was recorded: its sort, which one, and what is wrong with it.

    The values are plain data: text, numbers and lists.
    """

    sort: str
    which: str
    code: Code
    values: Mapping[str, Any] = NOTHING


class Statement(NamedTuple):
    """One thing that a verification proved, or could not prove, with what its sentence names."""

    code: str
    values: Mapping[str, Any] = NOTHING
    proved: bool = True


class Stopped(Exception):
    """The progress callback asks to stop. It says nothing about what is checked."""


# Called with what is being checked, how much of it is done, and how much there is.
Tell = Callable[[str, int, int], None]
Result = Finding | Statement
Check = Callable[[Tell], Iterator[Result]]
