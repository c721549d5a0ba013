"""Events as sentences, for people who read the history of a unit."""

from collections.abc import Callable
from typing import Any, Final

from prep.record.unit import events as e
from prep.words import verdicts
from prep.words.reader import ENGLISH


def _from_paper(entry: e.ReadingTaken | e.CheckCompleted) -> str:
    return f" Copied from paper that {entry.paper.writer_name} wrote." if entry.paper else ""


_SENTENCES: Final[dict[type, Callable[[Any], str]]] = {
    e.Received: lambda x: f"Received, serial {x.serial} as on the plate.",
    e.DamageNoted: lambda x: f"Damage noted: {x.damage.what}, {x.damage.where}.",
    e.Placed: lambda x: f"Moved to {x.place}.",
    e.ModelAssigned: lambda x: f"Is a {x.model.name}.",
    e.BuyerAssigned: lambda x: f"Meant for a buyer with tractor {x.tractor.name}.",
    e.BuyerAmended: lambda x: "The buyer's particulars were corrected.",
    e.BuyerWithdrawn: lambda x: f"Buyer withdrew: {x.reason}",
    e.SheetStarted: lambda x: f"Sheet started: {x.procedure} revision {x.revision}.",
    e.SheetMoved: lambda x: f"Sheet moved to revision {x.revision}: {x.reason}",
    e.CautionAcknowledged: lambda x: f"Cautions of “{x.step}” read.",
    e.ReadingTaken: lambda x: (
        f"{x.step}, {x.line} {x.position}: typed “{x.raw}”, {verdicts.word(x.verdict, ENGLISH)}."
        + (f" Replaces an earlier entry: {x.reason}" if x.reason else "")
        + _from_paper(x)
    ),
    e.CheckCompleted: lambda x: (
        f"{x.step}, {x.line} {x.position}: {'yes' if x.answer else 'no'}. {x.note}" + _from_paper(x)
    ),
    e.PhotoAttached: lambda x: (
        f"Picture of a sheet filled in by hand. {x.note}"
        if x.of_paper
        else f"Photo for {x.step}, {x.line} {x.position}."
    ),
    e.StepSkipped: lambda x: f"“{x.step}” marked not applicable: {x.reason}",
    e.StepReopened: lambda x: f"“{x.step}” re-opened: {x.reason}",
    e.ShortageNoted: lambda x: f"Missing: {x.part}.",
    e.ShortageArrived: lambda x: f"A missing part came. {x.note}",
    e.FlagRaised: lambda x: f"Flag: {x.text}",
    e.FlagClosed: lambda x: f"Flag closed: {x.text}",
    e.ConcessionGranted: lambda x: f"Concession granted: {x.reason}",
    e.StepSigned: lambda x: f"“{x.step}” signed: {x.meaning}.",
    e.Held: lambda x: f"On hold: {x.reason}",
    e.Resumed: lambda x: f"Work resumed. {x.note}",
    e.Released: lambda x: f"Released for {x.ready_for}.",
    e.Reopened: lambda x: f"Release withdrawn: {x.reason}",
    e.HandedOver: lambda x: f"Handed over; shown in {x.language}.",
    e.RegistrationSent: lambda x: f"Registration sent, version {x.version}.",
    e.RegistrationAnswered: lambda x: (
        "Registration accepted." if x.accepted else f"Registration refused: {x.reason}"
    ),
    e.DocumentIssued: lambda x: f"Issued {x.document_kind} {x.number}.",
}


def sentence(event: e.UnitEvent) -> str:
    """What an event says."""
    return _SENTENCES[type(event)](event).strip()


def covered() -> set[type]:
    """The kinds of event that have a sentence."""
    return set(_SENTENCES)
