"""Events hold tokens, numbers and what people typed, never a sentence of ours."""

import re
from collections.abc import Iterator
from pathlib import Path
from random import Random
from typing import Any, Final
from uuid import UUID

import msgspec
import pytest

from prep.actions.perform import perform
from prep.management.demo import dealership
from prep.management.demo.scenarios import PLANS
from prep.management.demo.units import DemoUnits
from prep.models import Event
from prep.queries.records import record_of
from prep.record.command import Command
from prep.record.unit.commands.flags import CloseFlag, RaiseFlag
from prep.record.unit.commands.receiving import ArrivalDamage, NoteDamage, SetLocation
from prep.record.unit.commands.releases import ReopenUnit
from prep.record.unit.commands.sheets import StartSheet
from prep.record.unit.commands.shortages import NoteShortage, RecordArrival
from tests.cast import Yard
from tests.stored_files import own_folders

TOKEN: Final = re.compile(r"[a-z0-9.-]*")
UNIT_OF_MEASURE: Final = re.compile(r"\S{0,6}|US (gal|qt|pt|fl oz|ton)|US gal/min|fl oz")

# What people typed: on a form, on a plate, on paper, in a file they sent.
TYPED: Final = frozenset(
    {
        *("place", "note", "text", "reason", "part", "expected", "what", "where", "raw", "also"),
        *(
            "serial",
            "was_serial",
            "plate",
            "papers",
            "look_alikes",
            "lent_to",
            "relation",
            "language",
        ),
        *("hour_meter", "mark", "writer_name"),
    }
)
# Texts and codes of what was published: models, tractors, instruments, procedures.
PUBLISHED: Final = frozenset(
    {
        *("model", "tractor", "instrument", "options", "maker", "procedure", "source", "one_of"),
        *("was_maker", "was_model", "kept"),
        *("step", "line", "position", "choice", "cautions", "reopened", "steps", "name"),
    }
)
# The names of things and their digests; paths into the data of a model, `model.weight`; a number of
# a document, `YP-00481-C`.
IDS: Final = frozenset(
    {
        *("reading", "check", "photo", "flag", "release", "concession", "handover", "shortage"),
        *("supersedes", "digest", "content", "recipient_digest", "document", "number", "cause"),
        *("replaces", "buyer", "writer", "id", "unit"),
    }
)
# Words of the procedure's own schema, or of the rule whose inputs they are.
SCHEMA: Final = frozenset({"basis", "quantity", "rule", "inputs", "values", "result"})


def strings(value: Any, path: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], str]]:
    """Every text in a body, with its path; members of a list have that of the list."""
    if isinstance(value, str):
        yield path, value
    elif isinstance(value, dict):
        for name, inner in value.items():
            yield from strings(inner, (*path, name))
    elif isinstance(value, list):
        for inner in value:
            yield from strings(inner, path)


def sentences_of_ours(body: bytes) -> list[str]:
    """Texts of an event that are neither tokens nor on one of the lists above."""
    allowed = TYPED | PUBLISHED | IDS | SCHEMA
    wrong = []
    for path, text in strings(msgspec.json.decode(body), ()):
        named = set(path) & allowed
        unit = path[-1] in {"unit", "canonical_unit"} and UNIT_OF_MEASURE.fullmatch(text)
        kind = path == ("kind",) and re.fullmatch(r"[a-z]+\.[a-z_]+", text)
        fraction = re.fullmatch(r"-?[0-9]+(\.[0-9]+)?(/[0-9]+)?", text)
        if not (named or unit or kind or fraction or TOKEN.fullmatch(text)):
            wrong.append(f"{'.'.join(path)}: {text}")
    return wrong


def found_in_the_log() -> list[str]:
    """The same of every event of a unit in the log."""
    bodies = Event.objects.filter(stream="unit").values_list("body", flat=True)
    assert bodies
    return [wrong for body in bodies for wrong in sentences_of_ours(body.encode())]


def kinds_in_the_log() -> set[str]:
    """Kinds of the events of units in the log."""
    return set(Event.objects.filter(stream="unit").values_list("kind", flat=True))


@pytest.mark.django_db
def test_every_event_of_the_demonstration_holds_tokens(settings: Any, tmp_path: Path) -> None:
    """Each scenario once, from receiving to the handover."""
    own_folders(settings, tmp_path)
    demo = DemoUnits(dealership.build(lambda text: None), Random(1))
    once = {plan.scenario.__qualname__ + str(bool(plan.damage)): plan for plan in PLANS}
    for plan in once.values():
        plan.scenario(demo, demo.receive(plan))
    assert found_in_the_log() == []
    assert {"concession.granted", "unit.held", "unit.handed_over"} <= kinds_in_the_log()


def test_every_kind_of_flag_and_closing_holds_tokens(yard: Yard) -> None:
    """Their sentences follow from the entry, the damage, the plate or what a person typed."""
    damage = (ArrivalDamage("Bent lug", "right wing hinge"),)
    unit = yard.receive("TC100", papers="TC101", damage=damage)
    give(yard, unit, StartSheet(), RaiseFlag(text="Decal torn"), SetLocation(place="Row C, bay 4"))
    for flag in record_of(unit).open_flags():
        give(yard, unit, CloseFlag(flag=flag.id, text="Looked into and fixed."))
    yard.acknowledge(unit, "block")
    yard.check(unit, "block", "blocked", answer=False, note="Stand bent")
    first = yard.take(unit, "pitch", "front", "7 in").events[0]
    more = {"supersedes": first.reading, "reason": "Read again"}
    second = yard.take(unit, "pitch", "front", "8 in", **more).events[0]
    yard.take(unit, "pitch", "front", "5 in", supersedes=second.reading, reason="Leveled")
    yard.assign(unit)
    yard.take(unit, "drawbar", "distance", "14 in", instrument="M-2")
    give(yard, unit, NoteShortage(part="Chain guard"), NoteDamage(damage=damage[0]))
    shortage = next(iter(record_of(unit).shortages))
    give(yard, unit, RecordArrival(shortage=shortage))
    flags = record_of(unit).flags.values()
    assert {flag.about.origin for flag in flags} == {
        *("papers", "damage", "person", "check", "reading", "instrument")
    }
    assert {flag.closed_how for flag in flags} == {
        *(None, "fixed", "superseded", "conforming-entry")
    }
    assert found_in_the_log() == []


def test_every_kind_of_event_after_the_release_holds_tokens(yard: Yard) -> None:
    """Released, reopened, released again, handed over."""
    unit = yard.ready()
    yard.release(unit)
    perform(ReopenUnit(reason="Paint run", steps=("pitch",)), actor=yard.mira, target=unit)
    assert record_of(unit).step_state("pitch").reopened[-1].cause == "release-withdrawn"
    yard.level(unit)
    yard.release(unit)
    yard.hand_over(unit)
    assert {"unit.reopened", "unit.handed_over", "step.signed"} <= kinds_in_the_log()
    assert found_in_the_log() == []


@pytest.mark.parametrize(
    ("body", "found"),
    [
        (b'{"kind":"flag.closed","how":"a conforming entry"}', "how: a conforming entry"),
        (b'{"remarks":["entered 5 h late"]}', "remarks: entered 5 h late"),
        (b'{"text":"Lugs replaced, two of them."}', ""),
        (b'{"limit":{"words":"3 in to 6 in"}}', "limit.words: 3 in to 6 in"),
        (b'{"meaning":"second person checked"}', "meaning: second person checked"),
    ],
)
def test_a_sentence_in_a_body_is_named(body: bytes, found: str) -> None:
    """Negative control: what is typed may be a sentence, what is ours may not."""
    assert sentences_of_ours(body) == ([found] if found else [])


def give(yard: Yard, unit: UUID, *commands: Command) -> None:
    """Ada gives commands on a unit, one after the other."""
    for command in commands:
        perform(command, actor=yard.ada, target=unit)
