"""Refusals: a command or a read that was not carried out, and changed nothing."""

from typing import Any

from prep.record.refusal_codes import CODES, RefusalClass
from prep.rules.entries.results import Unread, choices_of


class UndeclaredRefusalError(LookupError):
    """A refusal that `prep.record.refusal_codes` does not declare: a programmer's error."""


class Refusal(Exception):
    """A command was not carried out, and nothing was changed.

    `code` is stable, for programs, and declared once with its class and the names of its details.
    `field` names the input at fault, as a dotted path. `details` holds what the sentence of the
    code names and what a screen needs to help: the choices of an ambiguous entry, the reasons that
    stop a release. They are tokens, numbers, what people typed and a procedure's own texts;
    `prep.words.refusals` makes sentences of them.
    """

    def __init__(self, code: str, *, field: str = "", **details: Any) -> None:
        super().__init__(code)
        declared = CODES.get(code)
        if declared is None:
            raise UndeclaredRefusalError(f"{code} is declared nowhere")
        if unknown := sorted(set(details) - set(declared.details)):
            raise UndeclaredRefusalError(f"{code} declares no {', '.join(unknown)}")
        self.code = code
        self.field = field
        self.details = details

    @property
    def refusal_class(self) -> RefusalClass:
        """What kind of obstacle it is."""
        return CODES[self.code].refusal_class


def refusal_of_unread(entry: Unread, field: str) -> Refusal:
    """`ambiguous` with the choices, or `unreadable`; `why` has its sentence in `prep.words`."""
    choices = choices_of(entry)
    if choices:
        return Refusal("ambiguous", field=field, choices=choices, why=entry.why)
    return Refusal("unreadable", field=field, why=entry.why)
