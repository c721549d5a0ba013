"""What a procedure, a model or a tractor is held against when it is published."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from prep.record.command import Need
from prep.record.documents.problems import Problem
from prep.record.facts import ManufacturerFacts, ModelFacts
from prep.record.procedure.document import Procedure


@dataclass(frozen=True)
class PublishedModels:
    """The machine models and the tractors there are, by code.

    `codes` are those of all machines, to suggest the one that was meant.
    """

    machines: Mapping[str, ModelFacts] = field(default_factory=dict)
    tractors: Mapping[str, ModelFacts] = field(default_factory=dict)
    codes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Known:
    """Models, instruments' kinds with the quantities they measure, and procedures in force.

    A dealership that has registered no instrument yet has no kinds to hold a procedure against.
    `revision` and `sort` are those published last under the document's own code; 0 and empty where
    it is new. `makers` are the manufacturers of the list, whom a model has to name.
    """

    models: PublishedModels
    kinds: Mapping[str, frozenset[str]] = field(default_factory=dict)
    in_force: Sequence[Procedure] = ()
    revision: int = 0
    sort: str = ""
    makers: Sequence[ManufacturerFacts] = ()


PUBLISHED_MODELS: Final = Need[PublishedModels]("published-models")
INSTRUMENT_KINDS: Final = Need[Mapping[str, frozenset[str]]]("instrument-kinds")
IN_FORCE: Final = Need[Sequence[Procedure]]("procedures-in-force")


def not_newer(revision: int, known: Known) -> Iterator[Problem]:
    """A revision that is not above the one published last, which never changes."""
    if revision <= known.revision:
        following = str(known.revision + 1)
        values = {"revision": known.revision, "following": following}
        yield Problem("revision-not-newer", ("revision",), values, (following,))
