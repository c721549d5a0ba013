"""How large a body an endpoint takes: declared beside it, and held to before a byte is read."""

from collections.abc import Callable
from typing import Any, Final, TypeVar

KILOBYTE: Final = 1024
MEGABYTE: Final = 1024 * KILOBYTE
OF_A_FORM: Final = 3 * MEGABYTE  # a document of 900 kB in a form's own spelling
AROUND: Final = 64 * KILOBYTE  # the fields and boundaries of a form beside its file

V = TypeVar("V", bound=Callable[..., Any])


def takes(most: int) -> Callable[[V], V]:
    """Declare that a view takes a file of so many bytes."""

    def mark(view: V) -> V:
        view.most_bytes = most  # type: ignore[attr-defined]  # read by `most_of`
        return view

    return mark


def most_of(view: Any) -> int:
    """How many bytes of a body a view takes."""
    return int(getattr(getattr(view, "cls", view), "most_bytes", OF_A_FORM))
