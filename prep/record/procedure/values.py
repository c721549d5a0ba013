"""Reading the quantities stated in procedures, models and instruments."""

from prep.record.refusal import Refusal
from prep.rules.entries.read import Typed
from prep.rules.entries.stated import read_stated
from prep.rules.quantities.quantity import Measured


def measured(text: str, quantity: str, where: str) -> Measured:
    """Measured value of a document's text, such as `170 ft·lbf`.

    Raises Refusal, naming `where` the text stands, if it is not one value of the quantity.
    """
    entry = read_stated(text, quantity)
    if not isinstance(entry, Typed):
        raise Refusal("document-value", where=where, typed=text, quantity=quantity)
    return entry.measured
