"""A procedure and its models are published one after the other, on PostgreSQL.

In each test two processes wait for each other just before they append. With the locks one waits in
vain; the negative control without them shows what would happen.
"""

from uuid import uuid4

import msgspec
import pytest

from prep.actions.submission import Submission
from prep.models import Event, MachineModel, ProcedureRevision
from prep.record.model.commands import PublishModel
from prep.record.procedure.commands import PublishProcedure
from tests.cast import DOCUMENTS, Yard
from tests.concurrency.test_fact_race import Work, at_once, committed_yard, work

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]

__all__ = ["committed_yard"]  # a fixture

SPEED = """\
          - line: speed
            ask: Speed printed on the shield
            quantity: rotation
            limit:
              nominal: {from: model.pto_speed}
              source: Set-up manual TC-12 (invented)
              basis: manufacturer
          - line: finish
"""


def second_revision(name: str) -> str:
    """A document of the tests as revision 2."""
    return (DOCUMENTS / name).read_text().replace("revision: 1", "revision: 2", 1)


def procedure_and_model(yard: Yard) -> tuple[Work, Work]:
    """A procedure that comes to need the PTO speed, and a model that comes to lack it."""
    needing = second_revision("procedure.yaml").replace("          - line: finish\n", SPEED)
    lacking = second_revision("model.yaml").replace("  pto_speed: 540 rpm\n", "")
    return (
        work(PublishProcedure(document=needing), actor=yard.otto),
        work(PublishModel(document=lacking), actor=yard.mira),
    )


def in_force() -> tuple[bool, bool]:
    """Whether the procedure in force needs the speed, and whether the model has it."""
    newest = ProcedureRevision.objects.order_by("-revision")[0]
    has = "pto_speed" in MachineModel.objects.get(pk="TC-12").facts["data"]
    return "model.pto_speed" in str(newest.document), has


def test_no_procedure_comes_into_force_for_data_that_go_meanwhile(committed_yard: Yard) -> None:
    """Whoever comes second is held against what the first left, and refused."""
    done, met = at_once(*procedure_and_model(committed_yard))
    assert (sorted(done), met) == (["document-unfit", "done"], False)
    assert in_force() in {(True, True), (False, False)}


def test_without_the_sets_locks_a_procedure_is_in_force_without_its_data(
    committed_yard: Yard,
) -> None:
    """Negative control: each was sound beside what it saw."""
    assert at_once(*procedure_and_model(committed_yard), unlocked=True) == (["done", "done"], True)
    assert in_force() == (True, False)


def test_of_two_that_publish_one_revision_one_is_told_that_it_is_in_force(
    committed_yard: Yard,
) -> None:
    """Two people, two texts, one number."""
    text = second_revision("procedure.yaml")
    other = text.replace("Set-up of the TC-12", "Set-up of the TC-12 again")
    done, met = at_once(
        work(PublishProcedure(document=text), actor=committed_yard.otto),
        work(PublishProcedure(document=other), actor=committed_yard.mira),
    )
    assert (sorted(done), met) == (["document-unfit", "done"], False)
    assert ProcedureRevision.objects.filter(revision=2).count() == 1


def test_one_command_sent_twice_at_once_publishes_once(committed_yard: Yard) -> None:
    """Both hear that it is done."""
    command = PublishProcedure(document=second_revision("procedure.yaml"))
    given = {"actor": committed_yard.otto, "submission": Submission(uuid4())}
    done, met = at_once(work(command, **given), work(command, **given))
    assert (done, met) == (["done", "done"], False)
    bodies = Event.objects.filter(kind="procedure.published").values_list("body", flat=True)
    assert [msgspec.json.decode(one)["revision"] for one in bodies.order_by("pk")] == [1, 2]
