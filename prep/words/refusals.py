"""Refusals in words: what is wrong, and what to do next."""

from prep.record.refusal import Refusal
from prep.words.faults import fault_text
from prep.words.reader import Reader


def refusal_text(refusal: Refusal, reader: Reader, *, by_label: bool = True) -> str:
    """A refusal as a sentence or several in the reader's language.

    People know a field by its label, programs by its name (`by_label=False`).
    """
    if refusal.code == "input-unfit":
        faults = refusal.details["faults"]
        return " ".join(fault_text(fault, reader, by_label=by_label) for fault in faults)
    return refusal.text
