"""Commands that release a unit and withdraw its release, put it on hold and take it off."""

import hashlib
from collections.abc import Iterator, Sequence
from typing import Annotated, ClassVar

from prep.record.command import Facts, Permission
from prep.record.fields import Digest, Meta, Note, Pin, Reason, StepCode
from prep.record.log import canonical_json
from prep.record.moments import Bound
from prep.record.needs import WORDING
from prep.record.refusal import Refusal
from prep.record.roles import MANAGER, SERVICE, Context
from prep.record.unit import events as e
from prep.record.unit.guards import after_release, after_work, not_finished, received, reopenable
from prep.record.unit.readiness import readiness
from prep.record.unit.sheet import applies, content_digest
from prep.record.unit.stands_for import stands_for
from prep.record.unit.state import Record
from prep.record.unit.unit_command import UnitCommand


class ReleaseUnit(UnitCommand, frozen=True, kw_only=True, tag="unit.release"):
    """Release a unit, for its buyer where one is assigned, else for stock.

    `seen` is the digest of the sheet as it was shown. A unit that is not ready is refused with all
    reasons.
    """

    permission: ClassVar = Permission(MANAGER)
    needs: ClassVar = (WORDING,)
    must_match: ClassVar = True

    seen: Digest
    pin: Pin

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """The unit is not released, or was for stock and has been sold since."""
        not_finished(state)
        if state.release and state.release.event.ready_for == _ready_for(state):
            raise Refusal("already-released")

    def bounds(self, state: Record) -> Iterator[Bound]:
        """The sign-offs and concessions that the release stands for."""
        signed = [s.stamp for step in state.steps.values() for s in step.signatures.values()]
        yield from after_work(
            [*signed, *(flag.closed for flag in state.flags.values() if flag.closed)]
        )

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """The unit is ready, and the sheet is the one that was shown."""
        missing = readiness(state).before_release
        if missing:
            raise Refusal("not-ready", reasons=[reason.stored() for reason in missing])
        if self.seen != sheet_digest(state):
            raise Refusal("content-changed", field="seen")
        return [
            e.Released(
                release=str(context.command),
                ready_for=_ready_for(state),
                content=self.seen,
                wording=facts[WORDING],
                buyer=state.buyer.id if state.buyer else "",
                tractor=state.tractor.code if state.tractor else "",
            )
        ]


def _ready_for(record: Record) -> str:
    return "buyer" if record.buyer else "stock"


def sheet_digest(record: Record) -> str:
    """SHA-256, in hex, of what a release signs, as its page shows it.

    The steps that apply, skipped steps, buyer, tractor, and whatever else the release stands for.
    """
    steps = record.procedure.steps.values() if record.procedure else ()
    shown = {
        "steps": [[s.step, content_digest(record, s)] for s in steps if applies(record, s)],
        "buyer": record.buyer.id if record.buyer else "",
        "tractor": record.tractor.code if record.tractor else "",
        "skipped": [[code, state.skipped] for code, state in record.steps.items() if state.skipped],
        "stands_for": [[item.kind.value, *item.box, item.version] for item in stands_for(record)],
    }
    return hashlib.sha256(canonical_json.encode(shown)).hexdigest()


class ReopenUnit(UnitCommand, frozen=True, kw_only=True, tag="unit.reopen"):
    """Withdraw the release of a unit.

    Name the `steps` to be done again; each is one that is signed or marked not applicable. Where no
    work is to be done again, say why in `nothing_because`: it stands in the record and on the next
    certificate, and the unit is not ready until it is released again.
    """

    permission: ClassVar = Permission(MANAGER)
    must_match: ClassVar = True

    reason: Reason
    steps: Annotated[
        tuple[StepCode, ...],
        Meta(max_length=500, examples=[["pitch"]], extra={"choose": "step-to-reopen"}),
    ] = ()
    nothing_because: Note = ""

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """The unit is released."""
        not_finished(state)
        if state.release is None:
            raise Refusal("still-open")

    def bounds(self, state: Record) -> Iterator[Bound]:
        """The release that is withdrawn."""
        return after_release(state.release)

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """Steps that can be re-opened, or why there are none: one of the two."""
        nothing = self.nothing_because.strip()
        if not (self.steps or nothing):
            raise Refusal("steps-to-redo-missing", field="steps")
        if self.steps and nothing:
            raise Refusal("steps-and-nothing-to-redo", field="nothing_because")
        known = state.procedure.steps if state.procedure else {}
        for code in self.steps:
            if code not in known:
                raise Refusal("no-such-step", field="steps", step=code)
            reopenable(state, known[code], field="steps")
        return [e.Reopened(self.reason, tuple(dict.fromkeys(self.steps)), nothing)]


class HoldUnit(UnitCommand, frozen=True, kw_only=True, tag="unit.hold"):
    """Put a unit on hold."""

    permission: ClassVar = Permission(SERVICE)

    reason: Reason

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """Nothing more is entered until the unit is taken off hold."""
        return [e.Held(self.reason)]


class ResumeUnit(UnitCommand, frozen=True, kw_only=True, tag="unit.resume"):
    """Take a unit off hold."""

    permission: ClassVar = Permission(MANAGER)

    note: Note = ""

    @classmethod
    def guard(cls, state: Record, context: Context) -> None:
        """The unit is on hold."""
        received(state)
        if state.held is None:
            raise Refusal("not-held")

    def decide(self, state: Record, context: Context, facts: Facts) -> Sequence[e.Event]:
        """Work goes on."""
        return [e.Resumed(self.note)]
