"""Rules computed over the API and on the command line."""

from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from tests.api.client import Answer, Api

PITCH = {
    "front": "4 in",
    "rear": "4 in",
    "least_lower": "0.75 in",
    "most_lower": "1.25 in",
    "lead": "0.125 in",
    "threads": "opposite",
    "ratio": 1,
    "longer": "raises",
    "near_thread": "right",
    "rods": 1,
}

TURN = (
    "Shorten the rod: turn it 4 turns counterclockwise, seen from the end with the right-hand "
    "thread."
)


def asked(api: Api, rule: str, **inputs: Any) -> Answer:
    """The result of a rule."""
    return api.post(f"rules/{rule}", {"inputs": inputs})


def test_an_answer_shows_its_inputs_formula_result_and_source(api: Api) -> None:
    """A published pair: 19 in at 4000 rpm is 19 897 ft/min."""
    answer = asked(api, "blades.tip_speed", tip_circle="19 in", speed="4000 rpm")
    assert answer.status == 200
    assert answer.body["formula"] == "v = pi D n."
    assert answer.body["source"].startswith("arithmetic of a circle; published pairs")
    assert [(one["written"], one["unit"]) for one in answer.body["inputs"]] == [
        ("19 in", "m"),
        ("4000 rpm", "1/s"),
    ]
    (result,) = answer.body["results"]
    assert result["unit"] == "m/s"
    assert result["shown"] == ["363.9 km/h", "226.1 mph", "19897 ft/min"]


def test_an_advice_is_said_in_the_unit_that_was_typed_and_a_picture_comes_with_it(api: Api) -> None:
    """An inch short of pitch on a rod that moves a quarter of an inch a turn: four turns."""
    answer = asked(api, "leveling.pitch", **PITCH)
    assert answer.body["advice"] == [TURN]
    (drawing,) = answer.body["drawings"]
    assert drawing.startswith("<svg")


def test_an_answer_with_nothing_to_do_says_so(api: Api) -> None:
    """An emblem at the right height gives a result without advice."""
    answer = asked(api, "road_marking.emblem_place", lower_edge="3 ft")
    (result,) = answer.body["results"]
    assert (result["value"], result["shown"]) == (
        "nothing-to-do",
        ["nothing to turn, add or move"],
    )
    assert answer.body["advice"] == []


def test_a_warming_in_fahrenheit_is_a_difference(api: Api) -> None:
    """Oil shut in and warmed by 50 °F: 6900 psi (hydraulic engineering data page)."""
    answer = asked(
        api,
        "hydraulics.trapped_pressure",
        rise="50 °F",
        expansion="0.00046 1/°F",
        bulk_modulus="300000 psi",
    )
    assert answer.body["results"][0]["shown"][0] == "6900 psi"


def test_a_margin_of_temperature_is_a_difference_and_a_temperature_is_not(api: Api) -> None:
    """85W flows down to -12 °C (SAE J306): at 5 °F, -15 °C, it is 3 K, 5.4 °F, too thick."""
    answer = asked(api, "gear_oil.ambient", winter_grade="85W", coldest="5 °F", edition="2019")
    shown = {one["name"]: one["shown"] for one in answer.body["results"]}
    assert shown["coldest_allowed"] == ["10.4 °F", "-12 °C"]
    assert shown["margin"] == ["-5.4 °F", "-3 K"]
    assert answer.body["advice"] == [
        "Ask the manufacturer for an oil of grade 80W: it must still flow at 5 °F."
    ]


def test_a_particle_count_is_asked_for_as_laboratories_print_it(api: Api) -> None:
    """ISO 4406: 5000, 640 and 80 particles per millilitre are 19/16/13."""
    answer = asked(
        api,
        "cleanliness.code_from_counts",
        at_4_um="5000 1/mL",
        at_6_um="640 /mL",
        at_14_um="80 per mL",
    )
    assert answer.body["results"][0]["value"] == "19/16/13"


@pytest.mark.parametrize(
    ("inputs", "field", "detail"),
    [
        ({"speed": "4000 rpm"}, "tip_circle", "Tip circle: nothing was entered."),
        (
            {"tip_circle": None, "speed": "4000 rpm"},
            "tip_circle",
            "Tip circle: nothing was entered.",
        ),
        (
            {"tip_circle": "19 kg", "speed": "4000 rpm"},
            "tip_circle",
            "this box takes length",
        ),
        ({"tip_circle": "0 in", "speed": "4000 rpm"}, "tip_circle", "works from 1.969 in"),
        ({"tip_circle": "-19 in", "speed": "4000 rpm"}, "tip_circle", "Check the value and its"),
        ({"tip_circle": "19 in", "speed": "nan"}, "speed", "There is no number"),
        ({"tip_circle": "19 in", "speed": 1e300}, "speed", "Powers of ten cannot be read here"),
        (
            {"tip_circle": "19 in", "speed": True},
            "speed",
            "Speed: enter a number with its unit, not yes or no.",
        ),
        ({"tip_circle": ["19 in"], "speed": "1 rpm"}, "tip_circle", "enter one value, not a list"),
        ({"tip_circle": "19", "speed": "1 rpm"}, "tip_circle", "in which unit?"),
        ({"diameter": "19 in"}, "diameter", "Use one of: tip_circle, speed."),
    ],
)
def test_bad_input_is_refused_in_a_sentence_with_the_place_of_the_input(
    api: Api, inputs: dict[str, Any], field: str, detail: str
) -> None:
    """Missing, of another quantity, impossible, not a number, ambiguous, unknown."""
    answer = asked(api, "blades.tip_speed", **inputs)
    assert answer.status == 422
    assert detail in answer.body["detail"]
    assert answer.body["errors"] == [
        {"detail": answer.body["detail"], "pointer": f"#/inputs/{field}"}
    ]


def test_a_list_longer_than_any_machine_needs_is_refused(api: Api) -> None:
    """A hundred values at most."""
    answer = asked(api, "tightening.stages", final="90 N·m", fractions=["0.5"] * 101)
    assert answer.body["errors"][0]["pointer"] == "#/inputs/fractions"
    assert answer.body["detail"] == "Stages: 101 values are too many. Enter 100 or fewer."


def test_a_rule_that_does_not_exist_is_told_with_its_neighbours(api: Api) -> None:
    """The names under the same topic."""
    answer = asked(api, "battery.charge")
    assert (answer.status, answer.code) == (404, "no-such-rule")
    assert "battery.charge_by_voltage" in answer.body["detail"]


def written(*words: str) -> list[str]:
    """What the command writes."""
    out = StringIO()
    call_command("calculate", *words, stdout=out)
    return out.getvalue().splitlines()


def test_the_command_line_gives_the_same_answer(tmp_path: Path) -> None:
    """The pitch of the picture above, with the picture in a file."""
    picture = tmp_path / "pitch.svg"
    pairs = [f"{name}={value}" for name, value in PITCH.items()]
    lines = written("leveling.pitch", *pairs, f"--svg={picture}")
    assert "  front: 4 in = 0.1016 m" in lines
    assert "= finding: front not low enough" in lines
    assert f"Do: {TURN}" in lines
    assert picture.read_text().startswith("<svg")


def test_the_command_line_says_numbers_without_a_unit_plainly() -> None:
    """Five studs: 1, 3, 5, 2, 4 (common practice, no published source)."""
    assert "= 1; 3; 5; 2; 4" in written("tightening.cross_pattern", "studs=5")


def test_the_command_line_refuses_in_a_sentence_with_what_can_be_typed() -> None:
    """An entry that can mean two things: each on a line, ready to be copied."""
    with pytest.raises(CommandError) as refused:
        written("blades.tip_speed", "tip_circle=19", "speed=4000 rpm")
    assert str(refused.value).splitlines()[:2] == [
        "Tip circle: “19” in which unit?",
        "  tip_circle='19 in'",
    ]


def test_a_bare_number_is_judged_in_the_unit_chosen_beside_it(api: Api) -> None:
    """Limits too; without one it is asked, and one of another quantity is refused."""
    body = {"text": "110", "quantity": "length", "at_least": "100"}
    assert api.post("judge", body).code == "ambiguous"
    judged = api.post("judge", {**body, "unit": "mm"})
    assert (judged.body["typed"], judged.body["low"]) == ("110 mm", "100")
    assert judged.body["verdict"] == "conforming"
    refused = api.post("judge", {**body, "unit": "psi"})
    assert (refused.status, refused.code) == (422, "unit-of-another-box")
