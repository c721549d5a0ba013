"""Where an import stands."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.words.reader import Reader, say, say_count

STATES: Final = {
    "check waiting": _("Waiting to be checked"),
    "check working": _("Being checked"),
    "check done": _("Checked; nothing was done yet"),
    "check failed": _("The check stopped"),
    "check cancelled": _("The check was stopped"),
    "run waiting": _("Waiting to be carried out"),
    "run working": _("Being carried out"),
    "run done": _("Done"),
    "run failed": _("The import stopped; what was done stays done"),
    "run cancelled": _("Stopped; what was done stays done"),
}


def import_state(stage: str, state: str, reader: Reader) -> str:
    """Where an import stands."""
    return say(reader, STATES[f"{stage} {state}"])


def import_counts(reader: Reader, *, ran: bool, fit: int, made: int, problems: int) -> list[str]:
    """What was found, or what was done, a sentence each."""
    done = (
        say_count(reader, "{count} row was carried out.", "{count} rows were carried out.", made)
        if ran
        else say_count(
            reader, "{count} row can be carried out.", "{count} rows can be carried out.", fit
        )
    )
    wrong = say_count(reader, "{count} problem.", "{count} problems.", problems)
    return [done, wrong]
