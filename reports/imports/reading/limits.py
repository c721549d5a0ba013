"""How large a table may be, so that one of the largest is read in little memory."""

from typing import Final

MOST_ROWS: Final = 20_000
