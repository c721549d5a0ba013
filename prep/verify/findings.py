"""Findings of a verification, and the callback that reports its progress."""

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType
from typing import Any, Final, Literal, NamedTuple

# What can be wrong. `prep.words.verification.sentences` has the sentence of each.
Code = Literal[
    "buyer-altered",
    "buyer-called-erased",
    "buyer-erasure-altered",
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
    "document-column",
    "document-file-altered",
    "document-file-unreadable",
    "document-missing",
    "document-not-requested",
    "document-size",
    "document-unissued",
    "entries-uncovered",
    "event-altered",
    "event-missing",
    "event-placed-twice",
    "event-unplaced",
    "file-stray",
    "hash-altered",
    "hash-missing",
    "kept-invalid",
    "kept-log-differs",
    "kept-log-short",
    "kept-rootless",
    "key-altered",
    "key-unused",
    "key-unused-newest",
    "node-extra",
    "node-missing",
    "node-wrong",
    "photo-altered",
    "photo-unreadable",
    "position-empty",
    "positions-empty",
    "recipient-altered",
    "recipient-called-erased",
    "recipient-missing",
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


class Stopped(Exception):
    """The progress callback asks to stop. It says nothing about what is checked."""


# Called with what is being checked, how much of it is done, and how much there is.
Tell = Callable[[str, int, int], None]
Check = Callable[[Tell], Iterator[Finding]]
