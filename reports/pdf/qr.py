"""QR codes as rectangles, the same for the same text."""

from typing import Any, Final

import segno
from reportlab.platypus import Flowable

# By level of error correction, the version that holds `ROOM` bytes, which any usual address fits
# (ISO/IEC 18004, capacities in byte mode): 37 modules a side at M, which bears 15 % of damage, and
# 49 at H, which bears 30 %.
VERSIONS: Final = {"m": 5, "h": 8}
ROOM: Final = 84
MASK: Final = 3  # any mask can be read; choosing the prettiest would cost more than the page
QUIET: Final = 4  # modules of white on each side, as ISO/IEC 18004 asks


class QrCode(Flowable):  # type: ignore[misc]  # reportlab is untyped
    """A QR code with its white border, `side` points wide; level "h" where dirt is expected."""

    def __init__(self, text: str, side: float, level: str = "m") -> None:
        super().__init__()
        self.text, self.level = text, level
        self.width = self.height = side

    def wrap(self, *_: Any) -> tuple[float, float]:
        """Its size, whatever room there is."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw the code with its lower left corner at the origin."""
        draw_qr(self.canv, self.text, 0, 0, self.width, self.level)


def modules(text: str, level: str = "m") -> list[list[bool]]:
    """Rows of the code, top first; True is dark."""
    fits = len(text.encode()) <= ROOM
    code = segno.make(
        text,
        error=level,
        mode="byte",
        encoding="utf-8",
        mask=MASK,
        version=VERSIONS[level] if fits else None,
        micro=False,
        boost_error=False,
    )
    return [[bool(module) for module in row] for row in code.matrix]


def draw_qr(canvas: Any, text: str, x: float, y: float, side: float, level: str = "m") -> None:
    """Draw the code of `text` into the square whose lower left corner is (x, y)."""
    rows = modules(text, level)
    size = side / (len(rows) + 2 * QUIET)
    canvas.saveState()
    canvas.setFillGray(1)
    canvas.rect(x, y, side, side, stroke=0, fill=1)
    canvas.setFillGray(0)
    path = canvas.beginPath()
    for down, row in enumerate(rows):
        top = y + side - (QUIET + down + 1) * size
        for start, stop in _runs(row):
            path.rect(x + (QUIET + start) * size, top, (stop - start) * size, size)
    canvas.drawPath(path, stroke=0, fill=1)
    canvas.restoreState()


def _runs(row: list[bool]) -> list[tuple[int, int]]:
    """Runs of dark modules as start and stop; one rectangle draws each."""
    runs: list[tuple[int, int]] = []
    for place, dark in enumerate(row):
        if not dark:
            continue
        if runs and runs[-1][1] == place:
            runs[-1] = (runs[-1][0], place + 1)
        else:
            runs.append((place, place + 1))
    return runs
