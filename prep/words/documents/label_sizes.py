"""Sizes of labels in words: a sheet by its paper and how many it holds, a roll by its label."""

from typing import Final

from prep.words.reader import Reader, say

PAPERS: Final = {"a4": "A4", "letter": "Letter"}
ROLL: Final = "roll"


def size_title(token: str, reader: Reader) -> str:
    """What a size is called: `a4-24` is “A4 sheet of 24”, `roll-50x25` “Roll 50 × 25 mm”."""
    sort, _, rest = token.partition("-")
    if sort == ROLL:
        width, _, height = rest.partition("x")
        return say(reader, "Roll {width} × {height} mm", width=width, height=height)
    return say(reader, "{paper} sheet of {count}", paper=PAPERS[sort], count=rest)
