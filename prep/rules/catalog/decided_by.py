"""Whose value decided a result, where a rule may fall back on a general one."""

from typing import Literal

# A general value is one of common practice or of public tables; it is never the manufacturer's.
DecidedBy = Literal["manufacturer", "general"]
