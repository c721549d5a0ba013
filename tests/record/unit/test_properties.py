"""Properties that hold after any history of commands (stateful test)."""

from datetime import timedelta
from pathlib import Path
from typing import Any
from uuid import UUID

import hypothesis.strategies as st
from django.utils import timezone
from hypothesis import HealthCheck
from hypothesis import settings as bounds
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    rule,
    run_state_machine_as_test,
)

from prep.actions.perform import perform
from prep.actions.submission import Outcome, Submission
from prep.models import Buyer, Event, Person
from prep.queries.records import fold_history, history, past_of, record_of
from prep.record.buyer.commands import AmendBuyer
from prep.record.command import Command
from prep.record.refusal import Refusal
from prep.record.unit.commands.entries import CompleteCheck, OmitReading, TakeReading
from prep.record.unit.commands.flags import GrantConcession
from prep.record.unit.commands.handwritten import AttachPage, PaperSource
from prep.record.unit.commands.plates import AttachPlate, CorrectPlate
from prep.record.unit.commands.releases import HoldUnit, ReopenUnit, ResumeUnit
from prep.record.unit.commands.steps import (
    AcknowledgeCautions,
    CheckStep,
    ReopenStep,
    SignStep,
    SkipStep,
)
from prep.record.unit.events import PhotoAttached
from prep.record.unit.readiness import readiness
from prep.record.unit.views.index_rows import rows
from prep.record.unit.views.past import View
from prep.words.reader import ENGLISH
from prep.words.refusals import refusal_text
from tests.cast import PIN, Yard, seen
from tests.record.unit.invariants import (
    dated_anyhow,
    rebuilt_differs,
    release_is_sound,
    verdicts_follow_from_their_events,
)
from tests.stored_files import own_folders, picture

STEPS = ("block", "blades", "pitch", "splines", "drawbar")
TEXTS = (
    "4 in",
    "7 in",
    "450 ft lb",
    "500 ft lb",
    "472 ft lb",
    "6",
    "21",
    "OK",
    "14 in",
    "16 in",
    "?",
)
BOXES = (
    ("blades", "torque", "left"),
    ("blades", "torque", "right"),
    ("pitch", "front", ""),
    ("splines", "count", ""),
    ("drawbar", "distance", ""),
)


class AnyHistory(RuleBasedStateMachine):
    """One unit, and the commands that people may try on it. `yard` is set by the test."""

    yard: Yard
    releases = 0
    copied = 0
    corrected = 0

    def __init__(self) -> None:
        super().__init__()
        self.staff = (
            self.yard.ada,
            self.yard.ben,
            self.yard.mira,
            self.yard.sol,
            self.yard.rhea,
            self.yard.outsider,
        )
        self.sent: list[tuple[Command, dict[str, Any], Outcome]] = []

    @initialize(stage=st.sampled_from(["started", "copied", "prepared", "ready"]))
    def start(self, stage: str) -> None:
        self.unit = getattr(self.yard, "started" if stage == "copied" else stage)()
        page = perform(
            AttachPage(), actor=self.yard.ada, target=self.unit, attachment=picture()
        ).events[0]
        assert isinstance(page, PhotoAttached)
        self.page = UUID(page.photo)
        if stage == "copied":
            self.level_on_paper()

    def attempt(
        self, command: Command, actor: Person, minutes_ago: int = 0, **more: Any
    ) -> Outcome | None:
        """Carry a command out, or see that a refusal changed nothing."""
        at = timezone.now() - timedelta(minutes=minutes_ago) if minutes_ago else None
        given: dict[str, Any] = {
            "actor": actor,
            "target": self.unit,
            "submission": Submission(happened=at),
            **more,
        }
        before = Event.objects.count()
        try:
            outcome = perform(command, **given)
        except Refusal as no:
            assert refusal_text(no, ENGLISH).strip()  # noqa: PT017 - whichever, it says something
            assert Event.objects.count() == before
            return None
        assert Event.objects.count() > before
        self.sent.append((command, given, outcome))
        return outcome

    @rule(who=st.integers(0, 5), step=st.sampled_from(STEPS))
    def acknowledge(self, who: int, step: str) -> None:
        self.attempt(AcknowledgeCautions(step=step), actor=self.staff[who])

    @rule(
        who=st.integers(0, 5),
        box=st.sampled_from(BOXES),
        text=st.sampled_from(TEXTS),
        instrument=st.sampled_from(["", "W-1", "W-2", "M-1", "M-2"]),
        supersede=st.booleans(),
        minutes_ago=st.sampled_from([0, 0, 0, 1, -1, 10_000]),
    )
    def take(
        self,
        who: int,
        box: tuple[str, str, str],
        text: str,
        instrument: str,
        supersede: bool,
        minutes_ago: int,
    ) -> None:
        known = record_of(self.unit).boxes.get(box)
        current = known.current.id if known and known.current and supersede else ""
        self.attempt(
            TakeReading(
                step=box[0],
                line=box[1],
                position=box[2],
                text=text,
                instrument=instrument,
                supersedes=current,
                reason="measured again" if supersede else "",
            ),
            actor=self.staff[who],
            minutes_ago=minutes_ago,
        )

    @rule(
        copier=st.integers(0, 5),
        writer=st.integers(0, 5),
        what=st.sampled_from([("pitch", "front", "4 in"), ("pitch", "finish", "good")]),
        minutes_ago=st.sampled_from([-5, 0, 0, 10_000]),
    )
    def copy_from_paper(
        self, copier: int, writer: int, what: tuple[str, str, str], minutes_ago: int
    ) -> None:
        at = timezone.now() - timedelta(minutes=minutes_ago)
        step, line, text = what
        known = record_of(self.unit).boxes.get((step, line, ""))
        self.attempt(
            TakeReading(
                step=step,
                line=line,
                text=text,
                paper=PaperSource(self.page, self.staff[writer].username, at),
                supersedes=known.current.id if known and known.current else "",
                reason="read on paper",
            ),
            actor=self.staff[copier],
        )

    @rule(who=st.integers(0, 5), box=st.sampled_from(BOXES), supersede=st.booleans())
    def omit(self, who: int, box: tuple[str, str, str], supersede: bool) -> None:
        known = record_of(self.unit).boxes.get(box)
        current = known.current.id if known and known.current and supersede else ""
        omitted = OmitReading(
            step=box[0],
            line=box[1],
            position=box[2],
            because="no wrench",
            supersedes=current,
            reason="it was the other box" if supersede else "",
        )
        self.attempt(omitted, self.staff[who])

    @rule(who=st.integers(0, 5), answer=st.booleans())
    def answer(self, who: int, answer: bool) -> None:
        self.attempt(
            CompleteCheck(step="block", line="blocked", answer=answer), actor=self.staff[who]
        )

    @rule(who=st.integers(0, 5), step=st.sampled_from(STEPS), second=st.booleans())
    def sign(self, who: int, step: str, second: bool) -> None:
        signature = CheckStep if second else SignStep
        command = signature(step=step, seen=seen(self.unit, step), pin=PIN)
        self.attempt(command, self.staff[who])

    @rule(who=st.integers(0, 5), step=st.sampled_from(STEPS), skip=st.booleans())
    def set_aside(self, who: int, step: str, skip: bool) -> None:
        set_aside = SkipStep if skip else ReopenStep
        self.attempt(set_aside(step=step, reason="because"), self.staff[who])

    @rule(tractor=st.sampled_from(["T-90", "T-150"]))
    def mean_for_a_buyer(self, tractor: str) -> None:
        try:
            self.yard.assign(self.unit, tractor)
        except Refusal as no:
            assert no.code in {"released", "on-hold", "handed-over"}  # noqa: PT017 - any of them

    @rule(
        who=st.sampled_from([2, 3, 0, 2, 3, 4, 5]),  # mostly those who may
        address=st.sampled_from(["2 Invented Lane", "", "1 Invented Lane", "3 Invented Lane"]),
    )
    def correct_the_buyer(self, who: int, address: str) -> None:
        """Sent twice; refused, it changed neither the log nor the buyer."""
        reference = record_of(self.unit).buyer
        if reference is None:
            return
        request: dict[str, Any] = {
            "actor": self.staff[who],
            "submission": Submission(),
            "target": reference.id,
        }
        before = Event.objects.count()
        try:
            corrected = perform(AmendBuyer(address=address), **request)
        except Refusal as no:
            assert no.code in {"not-allowed", "no-such-buyer", "nothing-changed"}  # noqa: PT017 - any
            assert (record_of(self.unit).buyer, Event.objects.count()) == (reference, before)
        else:
            again = perform(AmendBuyer(address=address), **request)
            assert (again.repeated, again.events) == (True, corrected.events)
            assert Event.objects.count() == before + 2
            type(self).corrected += 1

    @rule(who=st.integers(0, 5))
    def concede(self, who: int) -> None:
        for flag in record_of(self.unit).open_flags()[:1]:
            self.attempt(
                GrantConcession(flag=flag.id, reason="agreed", pin=PIN), actor=self.staff[who]
            )

    @rule(who=st.integers(0, 5), go_on=st.booleans())
    def hold_or_resume(self, who: int, go_on: bool) -> None:
        if go_on:
            self.attempt(ResumeUnit(), actor=self.staff[who])
        else:
            self.attempt(HoldUnit(reason="parts"), actor=self.staff[who])

    @rule(who=st.integers(0, 5), serial=st.sampled_from(["TC00001", "tc-00001", "TC00009", "TX1"]))
    def correct_the_plate(self, who: int, serial: str) -> None:
        """By a photo of it; whoever may not, and what changes nothing, is refused."""
        photo = self.attempt(AttachPlate(), actor=self.yard.ada, attachment=picture())
        if photo:
            correct = CorrectPlate(
                serial=serial, photo=photo.events[0].photo, reason="misread", pin=PIN
            )
            self.attempt(correct, actor=self.staff[who])

    @rule(part=st.sampled_from(["block", "blades", "pitch", "tractor"]))
    def prepare_properly(self, part: str) -> None:
        """Do a whole step correctly, as far as it is not refused."""
        doing = {
            "block": self.yard.block_deck,
            "blades": self.yard.torque_blades,
            "pitch": self.yard.level,
            "tractor": self.yard.match_tractor,
        }
        try:
            doing[part](self.unit)
        except Refusal as no:
            assert refusal_text(no, ENGLISH).strip()  # noqa: PT017 - which one depends on the history

    def level_on_paper(self) -> None:
        """Ben copies what Ada wrote; Ada signs."""
        for line, text in (("front", "4 in"), ("finish", "good")):
            source = PaperSource(self.page, self.yard.ada.username, timezone.now())
            self.yard.take(self.unit, "pitch", line, text, actor=self.yard.ben, paper=source)
        self.yard.sign(self.unit, "pitch")
        type(self).copied += 1

    @rule()
    def release(self) -> None:
        try:
            self.yard.release(self.unit)
        except Refusal as no:
            if no.code == "not-ready":
                assert no.details["reasons"]  # noqa: PT017 - as above
        else:
            type(self).releases += 1
            assert release_is_sound(record_of(self.unit)) == []

    @rule(
        steps_again=st.lists(st.sampled_from(STEPS), max_size=2, unique=True),
        because=st.sampled_from(["", "A slip of the pen."]),
    )
    def reopen_unit(self, steps_again: list[str], because: str) -> None:
        stood = record_of(self.unit).release
        self.attempt(
            ReopenUnit(reason="recheck", steps=tuple(steps_again), nothing_because=because),
            actor=self.yard.mira,
        )
        record = record_of(self.unit)
        if stood and record.release is None:
            answer = readiness(record)
            assert not answer.ready_for_buyer
            assert steps_again or not answer.ready_for_stock

    @rule(which=st.integers(0, 1000))
    def send_again(self, which: int) -> None:
        """A resent command gives the first outcome and adds nothing."""
        if not self.sent:
            return
        command, given, first = self.sent[which % len(self.sent)]
        before = Event.objects.count()
        again = perform(command, **given)
        assert (again.version, again.events, again.repeated) == (
            first.version,
            first.events,
            True,
        )
        assert Event.objects.count() == before

    @invariant()
    def index_equals_index_rebuilt_from_the_log(self) -> None:
        assert rebuilt_differs(self.unit) == []

    @invariant()
    def a_verdict_can_be_worked_out_from_its_event(self) -> None:
        assert verdicts_follow_from_their_events(record_of(self.unit)) == []

    @invariant()
    def the_log_holds_the_digest_of_the_buyer_as_they_are(self) -> None:
        reference = record_of(self.unit).buyer
        if reference:
            assert Buyer.objects.get(pk=reference.id).digest() == reference.digest

    @invariant()
    def release_stands_on_a_sound_sheet(self) -> None:
        record = record_of(self.unit)
        if record.release and record.release.event.ready_for == "buyer":
            assert release_is_sound(record) == []
            assert readiness(record).ready_for_buyer

    @invariant()
    def paper_was_written_while_the_sheet_was_open(self) -> None:
        record = record_of(self.unit)
        assert record.sheet_started is not None
        opened = record.sheet_started.happened.replace(second=0, microsecond=0)
        for box in record.boxes.values():
            for entry in box.entries:
                if entry.event.paper:
                    assert opened <= entry.stamp.happened <= entry.stamp.recorded

    def teardown(self) -> None:
        """As of any moment is the fold stopped earlier; versions have no gaps."""
        past = history(self.unit)
        assert [h.stamp.version for h in past] == list(range(1, len(past) + 1))
        for cut in {1, len(past) // 2, len(past)}:
            moment = past[cut - 1].stamp.recorded
            known = past_of(self.unit, View.KNOWN_AT, moment)
            upto = [h for h in past if h.stamp.recorded <= moment]
            assert rows(known.record) == rows(fold_history(upto))
        latest = max(h.stamp.happened for h in past)
        whole = past_of(self.unit, View.HAPPENED_BY, latest)
        assert (rows(whole.record), whole.left_out) == (rows(fold_history(past)), ())
        dated_anyhow([(h.stamp, h.event) for h in past])


def test_any_history_leaves_index_and_log_in_step(
    yard: Yard, settings: Any, tmp_path: Path
) -> None:
    """Random people send random commands to a unit."""
    own_folders(settings, tmp_path)
    AnyHistory.yard = yard
    AnyHistory.releases = AnyHistory.copied = AnyHistory.corrected = 0
    run_state_machine_as_test(
        AnyHistory,
        settings=bounds(
            max_examples=40,
            stateful_step_count=50,
            derandomize=True,
            suppress_health_check=list(HealthCheck),
        ),
    )
    # The histories went far enough to mean something.
    assert AnyHistory.releases > 0
    assert AnyHistory.copied > 0
    assert AnyHistory.corrected > 0
