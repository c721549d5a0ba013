"""Asking for passwords and PINs on a terminal: twice, and again where one will not do."""

from collections.abc import Callable
from getpass import getpass
from typing import Final

from django.core.management.base import CommandError

from prep.record.refusal import Refusal
from prep.words.reader import ENGLISH
from prep.words.refusals import refusal_text

TRIES: Final = 5


def asked_for(what: str, check: Callable[[str], object]) -> str:
    """A secret as it was typed twice, once `check` takes it; says what is wrong with one."""
    for _ in range(TRIES):
        typed = getpass(f"{what}: ")
        try:
            check(typed)
        except Refusal as no:
            print(refusal_text(no, ENGLISH))
            continue
        if getpass("The same again: ") == typed:
            return typed
        print("The two are not the same.")
    raise CommandError("Nothing was changed. Start again when you have chosen one.")
