"""The error a command raises when it may not be carried out."""

from typing import Any


class Refusal(Exception):
    """A command was refused, and nothing was changed.

    `code` is stable and for programs; `text` is for the person: what is wrong and what to do next.
    `field` names the input at fault, `details` carries what a screen needs to help (the choices of
    an ambiguous entry, the reasons that stop a release).
    """

    def __init__(self, code: str, text: str, *, field: str = "", **details: Any) -> None:
        super().__init__(text)
        self.code = code
        self.text = text
        self.field = field
        self.details = details
