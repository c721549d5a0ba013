"""Choices held against the unit: its options, its model's data, another choice made before."""

import pytest

from prep.actions.perform import perform
from prep.models import Flag
from prep.record.procedure.commands import PublishProcedure
from prep.words.reader import ENGLISH
from prep.words.unit.flags import kept_flag_text
from tests.cast import DOCUMENTS, Yard
from tests.refusals import refused

LIMIT = "{one_of: [good], source: Set-up manual TC-12 (invented), basis: manufacturer}"
SOURCE = "source: invented, basis: calculated"


def publish(yard: Yard, one_of: str, *, before: str = "") -> None:
    """The cast's procedure with another limit of the choice, and a line before it."""
    text = (DOCUMENTS / "procedure.yaml").read_text().replace("revision: 1", "revision: 2", 1)
    assert LIMIT in text
    text = text.replace(LIMIT, f"{{one_of: {one_of}, {SOURCE}}}")
    text = text.replace("          - line: finish\n", f"{before}          - line: finish\n")
    text = text.replace("choices: [good, scratched]", "choices: [good, wide, narrow, 540 rpm]")
    perform(PublishProcedure(document=text), actor=yard.otto)


@pytest.mark.parametrize(
    ("options", "chosen", "verdict"),
    [
        ((), "narrow", "conforming"),
        ((), "wide", "nonconforming"),
        (("wide tires",), "wide", "conforming"),
        (("wide tires",), "narrow", "nonconforming"),
    ],
)
def test_a_choice_is_held_against_the_unit_s_options(
    yard: Yard, options: tuple[str, ...], chosen: str, verdict: str
) -> None:
    """Wide with the wide tires, narrow with none."""
    publish(yard, "{options: {wide tires: [wide]}, otherwise: [narrow]}")
    unit = yard.started(options=options)
    assert yard.take(unit, "pitch", "finish", chosen).events[0].verdict == verdict
    assert Flag.objects.filter(unit=unit, open=True).exists() == (verdict == "nonconforming")


def test_a_choice_is_held_against_the_one_made_before(yard: Yard) -> None:
    """The order says wide, the machine is narrow: flagged, with what would be right."""
    asked = "          - {line: ordered, ask: Ordered, choices: [wide, narrow]}\n"
    publish(yard, "{from: reading.pitch.ordered}", before=asked)
    unit = yard.started()
    no = refused("needs-reading", yard.take, unit, "pitch", "finish", "wide")
    assert no.details["ask"] == "Ordered"
    yard.take(unit, "pitch", "ordered", "wide")
    taken = yard.take(unit, "pitch", "finish", "narrow").events[0]
    assert taken.limit.one_of == ("wide",)
    assert kept_flag_text(Flag.objects.get(unit=unit).about, ENGLISH) == (
        "Paint: narrow is out of limit (nonconforming). The limit is one of: wide."
    )
    yard.take(unit, "pitch", "finish", "wide", supersedes=taken.reading, reason="Looked again")
    assert not Flag.objects.filter(unit=unit, open=True).exists()


def test_a_choice_is_held_against_the_buyer_s_tractor(yard: Yard) -> None:
    """The tractor's data name it; without a tractor the step waits, and so does stock."""
    publish(yard, "{from: tractor.pto_speed}")
    unit = yard.started()
    refused("needs-tractor", yard.take, unit, "pitch", "finish", "540 rpm")
    yard.assign(unit)
    assert yard.take(unit, "pitch", "finish", "540 rpm").events[0].verdict == "conforming"
