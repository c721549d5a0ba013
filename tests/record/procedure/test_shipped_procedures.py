"""The shipped procedures can be carried out in a safe order, with the data shipped with them."""

import re
from datetime import date

import msgspec
import pytest

from prep.record.procedure.checks.check import problems_of
from prep.record.procedure.document import Hazard, Procedure, Step, Work
from prep.record.procedure.line import paths
from prep.record.unit import events
from prep.record.unit.commands.sheets import MoveSheet
from prep.record.unit.readiness import readiness
from prep.record.unit.sheet import Status, statuses
from prep.rules.identity.serial_schemes import scheme_from
from tests.record.procedure.shipped import (
    INSTRUMENTS,
    KNOWN,
    MODEL_FACTS,
    MODELS,
    PROCEDURES,
    TODAY,
    TRACTOR_FACTS,
    TRACTORS,
    instruments,
    meant_for,
    pinned,
    started,
)

CUTTER, CART, CART_2 = "rotary-cutter-r1", "grain-cart-r1", "grain-cart-r2"
FITTING = [
    ("LF-RC15", CUTTER, (), "QM-4110"),
    ("LF-RC15", CUTTER, (), "DM-T140D"),
    ("LF-RC15", CUTTER, ("1000 rpm driveline",), "QM-7220"),
    ("LF-RC20", CUTTER, (), "QM-7220"),
    ("HM-C10", CART, ("scale", "roll tarp"), "DM-T300"),
    ("HM-C6", CART_2, (), "QM-7220"),
]
DANGEROUS = [
    (name, step.step)
    for name, procedure in PROCEDURES.items()
    for step in procedure.steps.values()
    if step.work
]


def without(procedure: Procedure, step: str, **changed: object) -> Procedure:
    """The procedure with one step changed."""
    return msgspec.structs.replace(
        procedure,
        sections=tuple(
            msgspec.structs.replace(
                section,
                steps=tuple(
                    msgspec.structs.replace(one, **changed) if one.step == step else one
                    for one in section.steps
                ),
            )
            for section in procedure.sections
        ),
    )


# --- whole and workable


@pytest.mark.parametrize("name", PROCEDURES)
def test_every_shipped_procedure_may_come_into_force(name: str) -> None:
    """The checker finds nothing against the shipped models."""
    assert list(problems_of(PROCEDURES[name], KNOWN)) == []


def test_the_cutter_has_its_77_steps_and_the_cart_its_49_or_50() -> None:
    """Step counts of the three procedures, which cover the four models."""
    assert len(PROCEDURES[CUTTER].steps) == 77
    assert len(PROCEDURES[CART].steps) == 49
    assert len(PROCEDURES[CART_2].steps) == 50
    assert {code for p in PROCEDURES.values() for code in p.models} == set(MODELS)


@pytest.mark.parametrize(("model", "procedure", "options", "tractor"), FITTING)
@pytest.mark.parametrize("site", ["north", "south"])
def test_a_whole_sheet_can_be_worked_with_the_yards_own_instruments(
    model: str, procedure: str, options: tuple[str, ...], tractor: str, site: str
) -> None:
    """Ready for stock before any tractor is known, then ready for this buyer."""
    hand = started(model, procedure, options, site)
    hand.work_all(tractor_steps=False)
    assert readiness(hand.record).answer == "ready-for-stock"
    meant_for(hand, tractor)
    assert readiness(hand.record).answer == "ready-for-stock"
    hand.work_all(tractor_steps=True)
    assert readiness(hand.record).answer == "ready-for-buyer"
    assert not hand.record.flags


def test_the_test_run_follows_the_driveline_the_unit_was_built_with() -> None:
    """The 1000 rpm option changes what is counted and how fast it is run."""
    for options, runs, rests in (
        ((), {"shaft", "run-rated"}, {"shaft-1000", "run-1000"}),
        (("1000 rpm driveline",), {"shaft-1000", "run-1000"}, {"shaft", "run-rated"}),
    ):
        status_of = statuses(started("LF-RC15", CUTTER, options).record)
        assert {status_of[code] for code in rests} == {Status.DOES_NOT_APPLY}
        assert Status.DOES_NOT_APPLY not in {status_of[code] for code in runs}


def test_moving_the_cart_to_revision_2_reopens_only_what_differs() -> None:
    """Second wheel nut stage and heat limit differ; the ladder is new."""
    hand = started("HM-C10", CART)
    procedure = PROCEDURES[CART_2]
    move = MoveSheet(
        procedure=procedure.procedure, revision=procedure.revision, reason="New manual"
    )
    (moved,) = hand.do(move, procedure_revision=pinned(CART_2))
    assert isinstance(moved, events.SheetMoved)
    assert moved.reopened == ("nuts", "heat")
    assert set(PROCEDURES[CART_2].steps) - set(PROCEDURES[CART].steps) == {"ladder"}


# --- the order that keeps people alive


@pytest.mark.parametrize(("name", "step"), DANGEROUS)
def test_the_checker_reports_dangerous_work_that_waits_for_nothing(name: str, step: str) -> None:
    """Negative control: take away what a dangerous step waits for."""
    procedure = without(PROCEDURES[name], step, after=())
    work = PROCEDURES[name].steps[step].work[0].value
    faults = [(one.code, one.values.get("work")) for one in problems_of(procedure, KNOWN)]
    assert ("work-not-safe", work) in faults


@pytest.mark.parametrize("name", PROCEDURES)
def test_every_kind_of_dangerous_work_is_in_the_procedure(name: str) -> None:
    """All kinds of dangerous work occur: under the deck, locks, unfolding, drive, air, coupling."""
    steps = PROCEDURES[name].steps.values()
    assert {task for step in steps for task in step.work} == set(Work)
    assert {hazard for step in steps for hazard in step.makes} == set(Hazard)


@pytest.mark.parametrize("name", PROCEDURES)
def test_killers_are_guarded_checked_by_a_second_person_and_never_skipped(name: str) -> None:
    """Wheel nuts, blade fasteners, driveline fit, locks."""
    steps = PROCEDURES[name].steps
    killers = {"nuts", "locks-out", "stow", "reach", "fit"} | {"blade-torque"} & set(steps)
    assert killers <= {code for code, step in steps.items() if step.second_person}
    assert {steps[code].skip for code in killers} == {"never"}
    final = [("nuts", "final")]
    if "blade-torque" in steps:
        final += [("blade-torque", line) for line in ("carrier", "bolts")]
    for code, line in final:
        torque = steps[code].by_line[line]
        assert torque.limit is not None
        assert torque.limit.decision == "guarded"
        assert torque.instrument is not None
        assert torque.instrument.overdue == "refuse"


@pytest.mark.parametrize("name", PROCEDURES)
def test_cautions_use_the_three_words_and_defer_to_maker_trade_or_law(name: str) -> None:
    """Each is shown by a step, and defers to the manual, trained people, a surgeon or road law."""
    procedure = PROCEDURES[name]
    shown = {code for step in procedure.steps.values() for code in step.cautions}
    assert shown == set(procedure.cautions)
    for caution in procedure.cautions.values():
        assert re.search("maker's|[Tt]rained|surgeon|road law", caution.text)
    assert "invented" in procedure.note.lower()
    assert "manual for the exact serial number" in " ".join(procedure.note.split())


def test_a_stock_step_may_not_wait_for_the_buyers_tractor() -> None:
    """Negative control: else no stock unit would ever be ready."""
    procedure = without(PROCEDURES[CUTTER], "stow", after=("after-run", "clear-run", "charge"))
    assert list(problems_of(procedure, KNOWN)) == []
    sections = list(procedure.sections)
    buyer, run = sections.pop(), sections.pop()
    stow = msgspec.structs.replace(run.steps[-1], after=("drawbar",))
    turned = (*sections, buyer, msgspec.structs.replace(run, steps=(stow,)))
    problems = list(problems_of(msgspec.structs.replace(procedure, sections=turned), KNOWN))
    assert ("step-after-tractor", {"step": "drawbar"}) in [(p.code, p.values) for p in problems]


# --- the data


@pytest.mark.parametrize("model", MODELS)
def test_wheel_nut_stages_rise_and_do_not_meet(model: str) -> None:
    """First stage within 15 %, second within 12 %, then the final window."""
    data = {
        key: float(str(value).split()[0])
        for key, value in MODELS[model].data.items()
        if key.startswith("wheel_nut_")
    }
    first, second = data["wheel_nut_stage_1"], data["wheel_nut_stage_2"]
    assert first * 1.15 < second * 0.88
    assert second * 1.12 < data["wheel_nut_least"] < data["wheel_nut_most"]


@pytest.mark.parametrize("procedure", PROCEDURES)
def test_a_stage_of_the_wheel_nuts_waits_for_the_one_before(procedure: str) -> None:
    """Three entries per wheel, in order."""
    assert PROCEDURES[procedure].steps["nuts"].by_line["stage-2"].after == ("stage-1",)
    assert PROCEDURES[procedure].steps["nuts"].by_line["final"].after == ("stage-2",)


def test_every_tractor_answers_what_the_procedures_ask_of_it() -> None:
    """Every `tractor.` reference finds its field in each of the five."""
    asked = {
        path.partition(".")[2]
        for procedure in PROCEDURES.values()
        for step in procedure.steps.values()
        for line in step.lines
        for path in paths(line)
        if path.startswith("tractor.")
    }
    assert asked == {
        "pto_type",
        "pto_splines",
        "pto_speed",
        "pto_power",
        "pto_height_above_drawbar",
        "power_class",
        "mass",
    }
    assert len(TRACTORS) == 5
    for tractor in TRACTOR_FACTS.values():
        assert asked <= set(tractor.data)


def test_everything_shipped_says_that_it_is_invented() -> None:
    """Nothing real: models, tractors, manuals."""
    for document in (*MODELS.values(), *TRACTORS.values()):
        assert document.note.startswith("An invented ")
        assert "(invented)" in document.manual


@pytest.mark.parametrize(
    ("model", "serial", "day"),
    [
        ("LF-RC15", "RC1520261230047", date(2026, 5, 3)),
        ("LF-RC20", "RC2020260010001", date(2026, 1, 1)),
        ("HM-C10", "C10-20260412-0031", date(2026, 4, 12)),
        ("HM-C6", "C6-20261231-0002", date(2026, 12, 31)),
    ],
)
def test_serials_of_each_model_say_when_it_was_built(model: str, serial: str, day: date) -> None:
    """Day 123 of 2026 is 3 May (calendar)."""
    assert scheme_from(MODEL_FACTS[model].serial_scheme).built_on(serial).day == day


@pytest.mark.parametrize("site", ["north", "south"])
def test_each_yard_has_every_instrument_in_date(site: str) -> None:
    """Torque wrenches of three ranges; the one overdue wrench stands in the north yard."""
    here = instruments(site)
    overdue = [tool.code for tool in here if date.fromisoformat(tool.due) < TODAY.date()]
    assert overdue == (["TW4-N"] if site == "north" else [])
    ranges = {(tool.low, tool.high) for tool in here if tool.kind == "torque wrench"}
    assert len(ranges) == 3
    wanted = {
        line.instrument.kind
        for procedure in PROCEDURES.values()
        for step in procedure.steps.values()
        for line in step.lines
        if line.instrument
    }
    assert wanted == {tool.kind for tool in here}


def test_no_two_instruments_share_a_code() -> None:
    """Instrument codes are unique."""
    codes = [row["code"] for row in INSTRUMENTS]
    assert len(codes) == len(set(codes)) == 35


# --- read with gloves on


@pytest.mark.parametrize("name", PROCEDURES)
def test_every_sentence_is_read_in_one_breath(name: str) -> None:
    """At most 90 characters to do and 62 to ask; titles short, and each only once."""
    steps: list[Step] = list(PROCEDURES[name].steps.values())
    titles = [step.title for step in steps]
    assert len(set(titles)) == len(titles)
    assert max(len(title) for title in titles) <= 34
    assert max(len(step.do) for step in steps) <= 90
    assert max(len(line.ask) for step in steps for line in step.lines) <= 62
    pictures = sum(line.photo * len(line.boxes) for step in steps for line in step.lines)
    assert pictures <= 3
