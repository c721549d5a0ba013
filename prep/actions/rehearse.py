"""Rehearsing a command: everything it does, and then nothing of it has happened."""

from django.db import transaction

from prep.actions.perform import perform
from prep.actions.submission import Outcome, Submission
from prep.models import Person
from prep.record.command import Command
from prep.record.roles import Actor


def rehearse(
    command: Command, *, actor: Person | Actor, submission: Submission | None = None
) -> Outcome:
    """What a command would do, decided as `perform` decides it; raises the Refusal it would get.

    Only for commands without an attachment: a file that is stored would stay.
    """
    with transaction.atomic():
        outcome = perform(command, actor=actor, submission=submission)
        transaction.set_rollback(True)
    return outcome
