"""Action that sells a unit to a new buyer: the buyer is added and assigned, or neither."""

from uuid import UUID, uuid5

from django.db import transaction

from prep.actions.perform import perform
from prep.actions.submission import Outcome, Submission
from prep.models import Person
from prep.record.buyer.commands import AddBuyer
from prep.record.unit.commands.buyers import AssignBuyer


@transaction.atomic
def sell(
    buyer: AddBuyer, *, tractor: str, actor: Person, unit: UUID, submission: Submission
) -> Outcome:
    """Add the buyer and assign the unit to them. Sent twice, it counts once."""
    adding = Submission(
        uuid5(submission.id, "buyer"),
        submission.happened,
        submission.device,
        drift=submission.drift,
    )
    added = perform(buyer, actor=actor, submission=adding)
    assignment = AssignBuyer(buyer=UUID(added.target), tractor=tractor)
    return perform(assignment, actor=actor, target=unit, submission=submission)
