"""Read a value as a document or a table states it: a limit, a model's mass, a tool's range."""

from prep.rules.entries.read import Result, read
from prep.rules.quantities.quantity import canonical


def read_stated(text: str, quantity: str) -> Result:
    """Read one value of a document.

    Documents are written with a decimal point, and their bare ratio is a plain number. A comma with
    three digits after it is asked all the same: its author may write decimals with a comma.
    """
    style = None if "," in text else False
    unit = canonical("ratio") if quantity == "ratio" else None
    return read(text, quantity, decimal_comma=style, unit=unit)
