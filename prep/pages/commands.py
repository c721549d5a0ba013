"""The commands a unit's page offers: each a small form, all handled alike."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final
from uuid import UUID

from prep.actions import buyers, models
from prep.actions.unit import (
    flags,
    handovers,
    holds,
    receiving,
    registrations,
    releases,
    sheets,
    shortages,
)
from prep.actions.write_path import Command, Outcome
from prep.models import Buyer, Person
from prep.pages.forms import Sent
from prep.queries.buyers import buyer_of
from prep.queries.records import record_of
from prep.record.refusal import Refusal
from prep.record.roles import DESK, MANAGER, OFFICE, SERVICE, Role
from prep.record.unit.commands.handovers import MUST_SHOW
from prep.record.unit.events import Damage
from prep.record.unit.state import Record

YARD_STAFF: Final = SERVICE | {Role.ADMINISTRATOR}


@dataclass(frozen=True)
class Field:
    """One field of a form. `kind` is text, long, yes, pin, seen, site, model, tractor, flag,

    shortage, step, topics, uses, document or hidden; those from model to document list what there
    is.
    """

    name: str
    label: str
    kind: str = "text"
    required: bool = True
    value: str = ""


@dataclass(frozen=True)
class UnitCommand:
    """A command offered on a unit's page. `filled` is what its fields hold before anybody types."""

    name: str
    title: str
    button: str
    fields: tuple[Field, ...]
    roles: frozenset[Role]
    when: Callable[[Record], bool]
    act: Callable[[Person, Command, UUID, Sent], object]
    says: str = ""
    filled: Callable[[Record], Mapping[str, str]] = lambda record: {}


def _open(record: Record) -> bool:
    return record.handover is None


def _unreleased(record: Record) -> bool:
    return _open(record) and record.release is None


def _releasable(record: Record) -> bool:
    """Not released yet; or released for stock, and sold since."""
    released = record.release.event.ready_for if record.release else ""
    again = released == "stock" and record.buyer is not None
    return _open(record) and record.sheet is not None and (not released or again)


PIN: Final = Field("pin", "Your PIN", "pin")
REASON: Final = Field("reason", "Reason", "long")


def _assign_buyer(actor: Person, command: Command, unit: UUID, form: Sent) -> Outcome:
    site = form["site"]
    buyer = buyers.add(
        actor=actor,
        command=Command(command.id),
        site=site,
        name=form["name"],
        address=form.get("address"),
        phone=form.get("phone"),
        email=form.get("email"),
    )
    return buyers.assign(
        actor=actor, command=command, unit=unit, buyer=buyer.pk, tractor=form["tractor"]
    )


def _amend(actor: Person, command: Command, unit: UUID, form: Sent) -> Buyer:
    buyer = record_of(unit).buyer
    if buyer is None:
        raise Refusal("no-buyer", "No buyer is assigned. Sell it first: buyer and tractor.")
    return buyers.amend(
        actor=actor,
        command=command,
        buyer=UUID(buyer.id),
        seen=form["seen"],
        **{name: form[name] for name in buyers.PARTICULARS},
    )


def _particulars(record: Record) -> Mapping[str, str]:
    """The buyer as known now; nothing of one whose data was erased."""
    kept = buyer_of(record.buyer) if record.buyer else None
    if kept is None:
        return {}
    return {"seen": kept.digest(), **{name: getattr(kept, name) for name in buyers.PARTICULARS}}


def _hand_over(actor: Person, command: Command, unit: UUID, form: Sent) -> Outcome:
    return handovers.hand_over(
        actor=actor,
        command=command,
        unit=unit,
        recipient=form["recipient"],
        relation=form["relation"],
        language=form["language"],
        shown=[topic for topic in MUST_SHOW if topic in form.getlist("shown")],
        manual_given="manual_given" in form,
        pin=form["pin"],
        hour_meter=form.get("hour_meter"),
        first_use=form.get("first_use") or "own use",
    )


COMMANDS: Final = {
    command.name: command
    for command in (
        UnitCommand(
            "model",
            "Say which model it is",
            "Assign the model",
            (
                Field("model", "Model", "model"),
                Field("options", "Options, by commas", required=False),
            ),
            YARD_STAFF,
            lambda r: _open(r) and r.sheet is None,
            lambda a, c, u, f: models.assign_model(
                actor=a,
                command=c,
                unit=u,
                model=f["model"],
                options=[o.strip() for o in f.get("options").split(",") if o.strip()],
            ),
        ),
        UnitCommand(
            "sheet",
            "Start preparation",
            "Start preparation",
            (),
            SERVICE,
            lambda r: _open(r) and r.sheet is None and r.model is not None,
            lambda a, c, u, f: sheets.start(actor=a, command=c, unit=u),
            "The newest procedure in force for this model and serial is pinned to the unit.",
        ),
        UnitCommand(
            "release",
            "Release",
            "Release this unit",
            (Field("seen", "", "seen"), PIN),
            MANAGER,
            _releasable,
            lambda a, c, u, f: releases.release(
                actor=a, command=c, unit=u, seen=f["seen"], pin=f["pin"]
            ),
            "Your name stands for everything on this page. What stops the release is said.",
        ),
        UnitCommand(
            "handover",
            "Hand over",
            "Record the handover",
            (
                Field("recipient", "Who takes it"),
                Field("relation", "What they are to the buyer", value="owner"),
                Field("language", "Shown in which language", value="English"),
                Field("shown", "Shown to them", "topics"),
                Field("first_use", "What it will be used for", "uses"),
                Field("manual_given", "The maker's manual was handed over", "yes"),
                Field("hour_meter", "Hour meter, if it has one", required=False),
                PIN,
            ),
            DESK | SERVICE,
            lambda r: _open(r) and r.release is not None and r.buyer is not None,
            _hand_over,
        ),
        UnitCommand(
            "buyer",
            "Sell it: buyer and tractor",
            "Assign buyer and tractor",
            (
                Field("site", "", "site"),
                Field("name", "Buyer"),
                Field("address", "Postal address, for the registration", "long", required=False),
                Field("phone", "Telephone", required=False),
                Field("email", "E-mail", required=False),
                Field("tractor", "Buyer's tractor", "tractor"),
            ),
            DESK,
            _open,
            _assign_buyer,
            "The steps that depend on the tractor open, or open again.",
        ),
        UnitCommand(
            "amend",
            "Correct the buyer's particulars",
            "Correct them",
            (
                Field("seen", "", "hidden"),
                Field("name", "Buyer"),
                Field("address", "Postal address, for the registration", "long", required=False),
                Field("phone", "Telephone", required=False),
                Field("email", "E-mail", required=False),
            ),
            DESK | OFFICE,
            lambda r: r.buyer is not None,
            _amend,
            "On every unit of this buyer. What was issued keeps what it says; a registration that "
            "was not made is tried again.",
            _particulars,
        ),
        UnitCommand(
            "withdraw",
            "Buyer withdraws",
            "Back to stock",
            (REASON,),
            DESK,
            lambda r: _open(r) and r.buyer is not None,
            lambda a, c, u, f: buyers.withdraw(actor=a, command=c, unit=u, reason=f["reason"]),
        ),
        UnitCommand(
            "flag",
            "Report something wrong",
            "Raise a flag",
            (Field("text", "What is wrong, and where", "long"),),
            SERVICE | {Role.SALES},
            _unreleased,
            lambda a, c, u, f: flags.raise_flag(actor=a, command=c, unit=u, text=f["text"]),
        ),
        UnitCommand(
            "put-right",
            "A flag was put right",
            "Close the flag",
            (Field("flag", "Flag", "flag"), Field("text", "What put it right", "long")),
            SERVICE,
            lambda r: _unreleased(r) and bool(r.open_flags()),
            lambda a, c, u, f: flags.close(
                actor=a, command=c, unit=u, flag=f["flag"], text=f["text"]
            ),
        ),
        UnitCommand(
            "concession",
            "Grant a concession",
            "Release this nonconformity",
            (Field("flag", "Flag", "flag"), REASON, PIN),
            MANAGER,
            lambda r: _unreleased(r) and bool(r.open_flags()),
            lambda a, c, u, f: flags.concede(
                actor=a, command=c, unit=u, flag=f["flag"], reason=f["reason"], pin=f["pin"]
            ),
            "You let the unit go with this, under your name. The reading and its verdict stay.",
        ),
        UnitCommand(
            "shortage",
            "A part is missing",
            "Note the shortage",
            (Field("part", "Part"), Field("expected", "Expected when", required=False)),
            SERVICE,
            _unreleased,
            lambda a, c, u, f: shortages.note_shortage(
                actor=a, command=c, unit=u, part=f["part"], expected=f.get("expected")
            ),
        ),
        UnitCommand(
            "arrived",
            "A missing part came",
            "Book it in",
            (Field("shortage", "Part", "shortage"),),
            SERVICE,
            lambda r: _open(r) and any(s.arrived is None for s in r.shortages.values()),
            lambda a, c, u, f: shortages.shortage_arrived(
                actor=a, command=c, unit=u, shortage=f["shortage"]
            ),
        ),
        UnitCommand(
            "damage",
            "Damage was found",
            "Note the damage",
            (Field("what", "What"), Field("where", "Where")),
            YARD_STAFF,
            _unreleased,
            lambda a, c, u, f: receiving.note_damage(
                actor=a, command=c, unit=u, damage=Damage(f["what"], f["where"])
            ),
        ),
        UnitCommand(
            "place",
            "It was moved",
            "Say where it stands",
            (Field("place", "Place in the yard"),),
            YARD_STAFF | {Role.SALES},
            _open,
            lambda a, c, u, f: receiving.place(actor=a, command=c, unit=u, place=f["place"]),
        ),
        UnitCommand(
            "hold",
            "Stop work",
            "Put on hold",
            (REASON,),
            SERVICE,
            lambda r: _open(r) and r.held is None,
            lambda a, c, u, f: holds.hold(actor=a, command=c, unit=u, reason=f["reason"]),
        ),
        UnitCommand(
            "resume",
            "Let work go on",
            "Resume",
            (Field("note", "Note", required=False),),
            MANAGER,
            lambda r: r.held is not None,
            lambda a, c, u, f: holds.resume(actor=a, command=c, unit=u, note=f.get("note")),
        ),
        UnitCommand(
            "reopen",
            "Re-open the released unit",
            "Withdraw the release",
            (REASON, Field("steps", "Steps to do again", "step", required=False)),
            MANAGER,
            lambda r: _open(r) and r.release is not None,
            lambda a, c, u, f: releases.reopen(
                actor=a, command=c, unit=u, reason=f["reason"], steps=f.getlist("steps")
            ),
        ),
        UnitCommand(
            "registered",
            "Registration went to the maker",
            "Mark as sent",
            (Field("document", "Bundle", "document"),),
            DESK | OFFICE,
            lambda r: any(d.document_kind == "registration" for d, _ in r.documents),
            lambda a, c, u, f: registrations.send(
                actor=a, command=c, unit=u, document=f["document"]
            ),
        ),
        UnitCommand(
            "answered",
            "The maker answered",
            "Record the answer",
            (
                Field("accepted", "Accepted", "yes"),
                Field("reason", "If refused: why", required=False),
            ),
            DESK | OFFICE,
            lambda r: bool(r.registration),
            lambda a, c, u, f: registrations.answer(
                actor=a, command=c, unit=u, accepted="accepted" in f, reason=f.get("reason")
            ),
        ),
    )
}


def offered(record: Record, roles: frozenset[Role]) -> list[UnitCommand]:
    """The commands that make sense now, for somebody with these roles."""
    return [c for c in COMMANDS.values() if c.roles & roles and c.when(record)]
