"""What the API says of a line besides its boxes."""

from prep.actions.perform import perform
from prep.record.procedure.commands import PublishProcedure
from tests.api.client import Api
from tests.cast import DOCUMENTS, Yard

FINISH = "          - line: finish\n"
LINES = """          - {line: play, ask: Hub play, quantity: length, positions: [left, right],
             schematic: {view: above, at: {left: [10, 80], right: [90, 80]}}}
          - {line: bolts, ask: Six bolts, quantity: torque,
             extremes: {lowest: lowest bolt, highest: highest bolt}}
"""


def test_a_line_says_where_its_positions_are_and_what_its_extremes_are_called(
    yard: Yard, api: Api
) -> None:
    """So that a program can draw the machine and put each box where it is."""
    text = (DOCUMENTS / "procedure.yaml").read_text().replace("revision: 1", "revision: 2", 1)
    perform(PublishProcedure(document=text.replace(FINISH, LINES + FINISH, 1)), actor=yard.otto)
    sheet = api.get(f"units/{yard.started()}/sheet").body
    pitch = next(one for one in sheet["sections"][1]["steps"] if one["step"] == "pitch")
    front, play, bolts, _ = pitch["lines"]
    assert (front["schematic"], front["extremes"]) == (None, None)
    assert play["schematic"] == {"view": "above", "at": {"left": [10, 80], "right": [90, 80]}}
    assert bolts["extremes"] == {"lowest": "lowest bolt", "highest": "highest bolt"}
    assert [box["position"] for box in bolts["boxes"]] == ["lowest bolt", "highest bolt"]
