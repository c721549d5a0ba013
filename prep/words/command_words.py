"""What the words of a command are."""

from dataclasses import dataclass


@dataclass(frozen=True)
class CommandWords:
    """A command's title, the text of its button, an explanation, and a statement; empty for none.

    The statement is what a person declares by giving the command; the log keeps its words.
    """

    title: str
    button: str
    explanation: str = ""
    statement: str = ""
