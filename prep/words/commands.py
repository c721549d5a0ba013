"""Commands and events in words: what a person reads before giving one, and in the history after.

`prep.words.unit.history` fills the sentences of events in.
"""

from typing import Final

from django.utils.translation import gettext_noop

from prep.words.command_words import CommandWords
from prep.words.devices import commands as devices
from prep.words.people import commands as people
from prep.words.personal import commands as personal
from prep.words.reader import Reader, say
from prep.words.yards import commands as of_yards

COMMANDS: Final = {
    **of_yards.COMMANDS,
    "unit.receive": CommandWords(gettext_noop("Receive a unit"), gettext_noop("Receive")),
    "model.assign": CommandWords(gettext_noop("Set the model"), gettext_noop("Set model")),
    "sheet.start": CommandWords(
        gettext_noop("Start preparation"),
        gettext_noop("Start preparation"),
        gettext_noop("The unit gets the current procedure for its model and serial number."),
    ),
    "caution.acknowledge": CommandWords(
        gettext_noop("Acknowledge the cautions"),
        gettext_noop("Acknowledge"),
        statement=gettext_noop("I have read and will follow these safety instructions"),
    ),
    "reading.take": CommandWords(gettext_noop("Enter a reading"), gettext_noop("Enter")),
    "reading.omit": CommandWords(gettext_noop("Not measured"), gettext_noop("Not measured")),
    "setting.check": CommandWords(gettext_noop("Enter a tool's setting"), gettext_noop("Enter")),
    "check.complete": CommandWords(gettext_noop("Answer a check"), gettext_noop("Enter")),
    "photo.attach": CommandWords(gettext_noop("Attach a photo"), gettext_noop("Attach")),
    "page.attach": CommandWords(
        gettext_noop("Attach a photo of a handwritten page"), gettext_noop("Attach")
    ),
    "step.sign": CommandWords(
        gettext_noop("Sign the step"),
        gettext_noop("Sign"),
        statement=gettext_noop("By signing, you confirm the work above was done as recorded."),
    ),
    "step.check": CommandWords(
        gettext_noop("Sign as second person"),
        gettext_noop("Sign as second person"),
        statement=gettext_noop(
            "By signing, you confirm that you checked this work yourself as the second person."
        ),
    ),
    "step.skip": CommandWords(
        gettext_noop("Mark the step not applicable"), gettext_noop("Not applicable")
    ),
    "step.reopen": CommandWords(gettext_noop("Reopen this step"), gettext_noop("Reopen")),
    "unit.release": CommandWords(
        gettext_noop("Release"),
        gettext_noop("Release this unit"),
        gettext_noop("Anything still blocking release is listed below."),
        gettext_noop(
            "By signing, you release this unit for delivery under your name: the work on its sheet "
            "was done as recorded, and you know of nothing that stops it."
        ),
    ),
    "unit.hand-over": CommandWords(
        gettext_noop("Hand over"),
        gettext_noop("Record the handover"),
        statement=gettext_noop(
            "By signing, you confirm that you handed this unit over, gave the manual, and covered "
            "the walk-through as recorded."
        ),
    ),
    "buyer.assign": CommandWords(
        gettext_noop("Sold: enter buyer and tractor"),
        gettext_noop("Save buyer and tractor"),
        gettext_noop("Tractor-matching steps will open (or reopen)."),
    ),
    "buyer.withdraw": CommandWords(gettext_noop("Sale canceled"), gettext_noop("Return to stock")),
    "buyer.add": CommandWords(gettext_noop("Add a buyer"), gettext_noop("Add buyer")),
    "buyer.amend": CommandWords(
        gettext_noop("Edit buyer details"),
        gettext_noop("Save changes"),
        gettext_noop(
            "Changes all of this buyer's units. Documents already issued stay as they are; a "
            "registration that failed is tried again."
        ),
    ),
    "flag.raise": CommandWords(gettext_noop("Report a problem"), gettext_noop("Raise a flag")),
    "flag.close": CommandWords(
        gettext_noop("Close a flag: problem fixed"), gettext_noop("Close flag")
    ),
    "flag.concede": CommandWords(
        gettext_noop("Grant a concession"),
        gettext_noop("Accept this out-of-limit item"),
        gettext_noop("The reading stays on record as out of limit."),
        gettext_noop("By signing, you accept this out-of-limit item under your name."),
    ),
    "shortage.note": CommandWords(gettext_noop("A part is missing"), gettext_noop("Note shortage")),
    "shortage.arrive": CommandWords(
        gettext_noop("Missing part arrived"), gettext_noop("Mark received")
    ),
    "damage.note": CommandWords(gettext_noop("Damage found"), gettext_noop("Note damage")),
    "location.set": CommandWords(gettext_noop("Unit moved"), gettext_noop("Save new location")),
    "unit.hold": CommandWords(gettext_noop("Put on hold"), gettext_noop("Put on hold")),
    "unit.resume": CommandWords(gettext_noop("Take off hold"), gettext_noop("Take off hold")),
    "unit.reopen": CommandWords(
        gettext_noop("Withdraw the release"),
        gettext_noop("Withdraw the release"),
        gettext_noop(
            "Tick the steps to be done again. If no work has to be done again, say why; the unit "
            "then only needs a new release."
        ),
    ),
    "sheet.move": CommandWords(
        gettext_noop("Move to another procedure revision"),
        gettext_noop("Move the sheet"),
        gettext_noop("Steps that differ reopen; the others keep their entries and sign-offs."),
    ),
    "model.correct": CommandWords(
        gettext_noop("Model was wrong: correct it"),
        gettext_noop("Correct the model"),
        gettext_noop(
            "Begun steps that depend on the model's data reopen; the history says which, and which "
            "stand."
        ),
    ),
    "plate.attach": CommandWords(
        gettext_noop("Photo of the plate"), gettext_noop("Attach the photo")
    ),
    "plate.correct": CommandWords(
        gettext_noop("Serial number was misread: correct it"),
        gettext_noop("Correct the plate"),
        gettext_noop(
            "Certificate, labels and registration issued under the misread plate are replaced. "
            "What was read before stays on record. Look up bulletins, parts and manual again for "
            "the right number."
        ),
        gettext_noop(
            "By signing, you confirm that the photo shows the plate of this machine and that it "
            "says what you entered."
        ),
    ),
    "unit.join": CommandWords(
        gettext_noop("Two records of one machine: join them"),
        gettext_noop("Join the records"),
        gettext_noop(
            "This record goes on, and the other one ends. Both histories stay; what was entered "
            "there does not count here."
        ),
        gettext_noop(
            "By signing, you confirm that both records are of this one machine and that you looked "
            "at its plate."
        ),
    ),
    "registration.send": CommandWords(
        gettext_noop("Registration sent to manufacturer"), gettext_noop("Mark as sent")
    ),
    "registration.answer": CommandWords(
        gettext_noop("Manufacturer answered"), gettext_noop("Record the answer")
    ),
    "instrument.record": CommandWords(
        gettext_noop("Record an instrument"), gettext_noop("Save instrument")
    ),
    "instrument.move": CommandWords(
        gettext_noop("Move a tool to another yard"),
        gettext_noop("Move the tool"),
        gettext_noop("From then on only the other yard reads with it and keeps its calibration."),
    ),
    "manufacturer.add": CommandWords(
        gettext_noop("Add a manufacturer"),
        gettext_noop("Add manufacturer"),
        gettext_noop(
            "Spell the name as the plates print it. Units and models choose from this list."
        ),
    ),
    "manufacturer.correct": CommandWords(
        gettext_noop("Correct a manufacturer's name"),
        gettext_noop("Save changes"),
        gettext_noop(
            "Units keep the name they were received under. The name up to now stays on as another "
            "spelling."
        ),
    ),
    "model.publish": CommandWords(gettext_noop("Publish a model"), gettext_noop("Publish")),
    "procedure.publish": CommandWords(gettext_noop("Publish a procedure"), gettext_noop("Publish")),
    "refused.settle": CommandWords(
        gettext_noop("Settle an entry that was not taken"),
        gettext_noop("Mark as settled"),
        gettext_noop("Enter it again first, if it still has to be in the record."),
    ),
    "keeper.add": CommandWords(
        gettext_noop("Send the checkpoint to somebody outside"), gettext_noop("Add address")
    ),
    "keeper.remove": CommandWords(
        gettext_noop("Send no more checkpoints to an address"), gettext_noop("Remove address")
    ),
    **devices.COMMANDS,
    **people.COMMANDS,
    **personal.COMMANDS,
}

# Labels of fields by name, and of a command's own where the same name means something else.
FIELDS: Final = {
    **of_yards.FIELDS,
    "accepted": gettext_noop("Accepted"),
    "address": gettext_noop("Mailing address, for the registration"),
    "aliases": gettext_noop("Other spellings, separated by commas"),
    "answer": gettext_noop("Answer"),
    "because": gettext_noop("Why it was not measured"),
    "buyer": gettext_noop("Buyer"),
    "checked": gettext_noop("How many were gone over"),
    "checked_against": gettext_noop("Serial numbers compared"),
    "confirmed": gettext_noop("Enter it all the same"),
    "count": gettext_noop("How many"),
    "damage": gettext_noop("Damage"),
    "damage.count": gettext_noop("How many"),
    "damage.on_carrier_paper": gettext_noop("Noted on the bill of lading"),
    "damage.what": gettext_noop("What is damaged"),
    "damage.where": gettext_noop("Where"),
    "document": gettext_noop("Document"),
    "email": gettext_noop("E-mail"),
    "expected": gettext_noop("Expected when"),
    "first_use": gettext_noop("What it will be used for"),
    "flag": gettext_noop("Flag"),
    "hour_meter": gettext_noop("Hour meter, if it has one"),
    "instrument": gettext_noop("Tool"),
    "joined": gettext_noop("Record that ends"),
    "language": gettext_noop("Language used for the walk-through"),
    "lent_to": gettext_noop("Taken for which unit"),
    "line": gettext_noop("Line"),
    "maker": gettext_noop("Manufacturer"),
    "manual_given": gettext_noop("The operator's manual was handed over"),
    "mark": gettext_noop("Mark printed on the page"),
    "model": gettext_noop("Model"),
    "moved": gettext_noop("How many turned before it clicked"),
    "name": gettext_noop("Name"),
    "note": gettext_noop("Note"),
    "nothing_because": gettext_noop("Nothing to do again, because"),
    "options": gettext_noop("Options, separated by commas"),
    "paper": gettext_noop("Copied from a page"),
    "papers": gettext_noop("Serial number on the papers"),
    "part": gettext_noop("Part"),
    "person": gettext_noop("User name"),
    "phone": gettext_noop("Phone"),
    "photo": gettext_noop("Photo of the plate"),
    "pin": gettext_noop("Your PIN"),
    "place": gettext_noop("Location"),
    "plate": gettext_noop("Plate, where it differs from the serial number"),
    "position": gettext_noop("Position"),
    "procedure": gettext_noop("Procedure"),
    "reason": gettext_noop("Reason"),
    "recipient": gettext_noop("Received by"),
    "relation": gettext_noop("Relationship to buyer (owner, employee, driver)"),
    "revision": gettext_noop("Revision"),
    "role": gettext_noop("Role"),
    "seen": gettext_noop("What was shown"),
    "serial": gettext_noop("Serial number"),
    "shortage": gettext_noop("Part"),
    "shown": gettext_noop("Walk-through covered"),
    "site": gettext_noop("Yard"),
    "step": gettext_noop("Step"),
    "steps": gettext_noop("Steps to do again"),
    "stops_release": gettext_noop("Blocks release until it is here"),
    "supersedes": gettext_noop("Corrects the entry"),
    "text": gettext_noop("Text"),
    "to": gettext_noop("To yard"),
    "tractor": gettext_noop("Buyer's tractor"),
    "unit": gettext_noop("Unit"),
    "buyer.add name": gettext_noop("Buyer"),
    "buyer.amend name": gettext_noop("Buyer"),
    "manufacturer.add name": gettext_noop("Name, as plates print it"),
    "manufacturer.add checked_against": gettext_noop("Looks like, but is not"),
    "manufacturer.correct name": gettext_noop("Name, as plates print it"),
    "manufacturer.correct checked_against": gettext_noop("Looks like, but is not"),
    "keeper.add language": gettext_noop("Language of the mail"),
    "keeper": gettext_noop("Address"),
    "plate.correct maker": gettext_noop("Manufacturer, if it was wrong too"),
    "plate.correct serial": gettext_noop("Serial number, exactly as on the plate"),
    "refused.settle reason": gettext_noop("What became of it"),
    "flag.raise text": gettext_noop("What is wrong, and where"),
    "flag.close text": gettext_noop("How it was fixed"),
    "reading.take text": gettext_noop("Reading"),
    "setting.check text": gettext_noop("Tool set to"),
    "registration.answer reason": gettext_noop("If rejected, the reason"),
    "registration.send document": gettext_noop("Registration"),
    "unit.hand-over place": gettext_noop("Place of the handover"),
    **devices.FIELDS,
    **people.FIELDS,
    **personal.FIELDS,
}

# What each kind of event says, and a variant of it. A sentence names fields of the event; a step is
# shown by its title, `box` is the line's question with the position.
EVENTS: Final = {
    "unit.received": gettext_noop("Received; serial number on the plate: {serial}."),
    "unit.plate_corrected": gettext_noop(
        "Plate corrected: {serial}, formerly read as {was_serial}: “{reason}”"
    ),
    "unit.plate_corrected maker": gettext_noop(
        "Plate corrected: {maker} {serial}, formerly read as {was_maker} {was_serial}: “{reason}”"
    ),
    "unit.model_corrected": gettext_noop("Model corrected to {name}: {reason}"),
    "unit.model_corrected steps": gettext_noop(
        "Model corrected to {name}: “{reason}” To be done again: {reopened}. Standing: {kept}."
    ),
    "unit.record_joined": gettext_noop(
        "The record of {maker} {serial} was joined to this one: {reason}"
    ),
    "unit.joined_into": gettext_noop(
        "This record ended; it goes on as that of {maker} {serial}: {reason}"
    ),
    "unit.damage_noted": gettext_noop("Damage noted: {what}, {where}."),
    "unit.placed": gettext_noop("Moved to {place}."),
    "unit.placed nowhere": gettext_noop("Location cleared."),
    "unit.model_assigned": gettext_noop("Model set to {name}."),
    "unit.buyer_assigned": gettext_noop("Sold; buyer's tractor: {name}."),
    "unit.buyer_amended": gettext_noop("Buyer details corrected."),
    "unit.buyer_withdrawn": gettext_noop("Sale canceled: {reason}"),
    "sheet.started": gettext_noop("Preparation started with “{title}”, revision {revision}."),
    "sheet.moved": gettext_noop("Changed to “{title}”, revision {revision}: {reason}"),
    "caution.acknowledged": gettext_noop("“{step}”: cautions read."),
    "reading.taken": gettext_noop("{box}: “{raw}”, {verdict}."),
    "reading.taken replaces": gettext_noop(
        "{box}: “{raw}”, {verdict}. Replaces the entry before: {reason}"
    ),
    "setting.checked": gettext_noop(
        "{box}: tool set to “{raw}”, {checked} of {fasteners} gone over, {moved} moved, {verdict}."
    ),
    "setting.checked replaces": gettext_noop(
        "{box}: tool set to “{raw}”, {checked} of {fasteners} gone over, {moved} moved, {verdict}. "
        "Replaces the entry before: {reason}"
    ),
    "check.completed": gettext_noop("“{box}”: yes. {note}"),
    "check.completed no": gettext_noop("“{box}”: no. {note}"),
    "photo.attached": gettext_noop("Photo added: “{box}”."),
    "photo.attached plate": gettext_noop("Photo of the plate added. {note}"),
    "photo.attached page": gettext_noop("Photo of a handwritten page added. {note}"),
    "step.not_applicable": gettext_noop("“{step}” marked not applicable: {reason}"),
    "step.reopened": gettext_noop("“{step}” reopened: {reason}"),
    "shortage.noted": gettext_noop("Missing: {count} × {part}."),
    "shortage.arrived": gettext_noop("Missing part received: {part}. {note}"),
    "flag.raised": gettext_noop("Flag: {flag}"),
    "flag.closed": gettext_noop("Flag closed, {how}: {flag}"),
    "flag.closed fixed": gettext_noop("Flag closed: {flag} Fixed: {text}"),
    "concession.granted": gettext_noop("Accepted by concession: {flag} Reason: {reason}"),
    "step.signed": gettext_noop("“{step}” signed: {meaning}."),
    "unit.held": gettext_noop("Put on hold: {reason}"),
    "unit.resumed": gettext_noop("Taken off hold. {note}"),
    "unit.released": gettext_noop("Released for delivery."),
    "unit.released stock": gettext_noop("Released to stock."),
    "unit.reopened": gettext_noop("Release withdrawn: “{reason}” To be done again: {steps}."),
    "unit.reopened nothing": gettext_noop(
        "Release withdrawn: “{reason}” Nothing to be done again: “{nothing_because}”"
    ),
    "unit.handed_over": gettext_noop("Handed over; walk-through in {language}."),
    "registration.sent": gettext_noop("Registration sent, version {version}."),
    "registration.answered": gettext_noop("Registration accepted."),
    "registration.answered refused": gettext_noop("Registration refused: {reason}"),
    "document.issued": gettext_noop("Document {number} issued."),
    "document.issued instead": gettext_noop(
        "Document {number} issued, in place of one whose file was lost or damaged."
    ),
    "document.remade": gettext_noop(
        "The file of document {number} was lost or damaged, and was made again with the same bytes."
    ),
    **personal.EVENTS,
}
COPIED: Final = gettext_noop("Copied from paper written by {writer}.")


def title(tag: str, reader: Reader) -> str:
    """What a command's page is called."""
    return say(reader, COMMANDS[tag].title)


def button(tag: str, reader: Reader) -> str:
    """The text of the button that gives the command."""
    return say(reader, COMMANDS[tag].button)


def explanation(tag: str, reader: Reader) -> str:
    """What to know before giving the command; empty for nothing."""
    return say(reader, COMMANDS[tag].explanation)


def statement(tag: str, reader: Reader) -> str:
    """What a person declares by giving the command; empty for nothing."""
    return say(reader, COMMANDS[tag].statement)


def label(tag: str, field: str, reader: Reader) -> str:
    """What a field of a command's form is called."""
    return say(reader, FIELDS.get(f"{tag} {field}") or FIELDS[field])


def asked_text(tag: str, reader: Reader) -> str:
    """What a command would have done; its tag as it was sent where there is no such command."""
    return title(tag, reader) if tag in COMMANDS else tag
