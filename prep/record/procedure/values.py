"""Quantities as procedures, models and instruments state them."""

from prep.record.refusal import Refusal
from prep.rules.entries.read import Typed, read
from prep.rules.quantities.quantity import Measured


def measured(text: str, quantity: str, where: str) -> Measured:
    """A quantity written in a document, such as `170 ft·lbf`; Refusal names `where` it stands."""
    found = read(text, quantity)
    if not isinstance(found, Typed):
        raise Refusal(
            "document-value",
            f"{where} says “{text}”, which is not one {quantity} with its unit. "
            "Correct the document and publish it again.",
        )
    return found.measured
