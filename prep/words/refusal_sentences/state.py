"""What would be acceptable, but not as things stand now."""

from typing import Final

from django.utils.translation import gettext_noop as _

SENTENCES: Final[dict[str, str]] = {
    "site-known": _("There is a yard with this code already. Choose another code."),
    "token-revoked-already": _("This token is revoked already. There is nothing left to do."),
    "buyer-has-open-sale": _(
        "{serials} is sold to this buyer and not handed over yet. Hand it over or cancel the sale "
        "first."
    ),
    "document-erased": _(
        "The file of {number} was erased with the buyer's personal data. Its number and digest are "
        "still in the log: ask whoever was given a copy."
    ),
    "erased-meanwhile": _(
        "The buyer's personal data were erased while this document was being made. It is not made."
    ),
    "guest-ended": _("This visit was ended already. Nothing has to be done."),
    "guest-erased": _("This guest's name was erased already. Nothing has to be done."),
    "guest-goes-on": _("This visit still goes on. End it first, then erase the name."),
    "guest-link-unfit": _(
        "This link does not open a visit: it was used before, or the visit is over. Ask the "
        "dealership for a new one."
    ),
    "no-legal-hold": _("There is no legal hold on this buyer. Nothing has to be lifted."),
    "on-legal-hold": _(
        "A legal hold keeps this buyer's data: “{reason}” An administrator has to lift it first."
    ),
    # The unit.
    "already-arrived": _("{part} has already arrived. Refresh the page."),
    "already-assigned": _("This unit is already sold to this buyer. Nothing has to be done."),
    "already-received": _(
        "This machine is already on record, as serial number {serial}. Open that unit instead."
    ),
    "already-released": _("This unit is already released. Refresh the page."),
    "already-there": _("The unit is already at {place}. Enter another location."),
    "buyer-changed": _(
        "Somebody corrected this buyer since you looked. Compare with what it says now, put both "
        "together, then send it again."
    ),
    "buyer-erased": _("This buyer's data was erased. Add the buyer again to keep their details."),
    "content-changed": _("This changed since it was shown to you. Look at it again, then sign."),
    "handed-over": _(
        "This unit has been handed over, and its preparation record is closed. Nothing more can be "
        "entered."
    ),
    "model-not-used": _("Preparation has not been started. Set the model instead."),
    "model-unchanged": _(
        "The record already says {model} with these options. Nothing has to be corrected."
    ),
    "join-other-yard": _(
        "{serial} is on record at another yard. Only records of one yard can be joined: compare "
        "the machines with that yard first."
    ),
    "join-the-other-way": _(
        "{serial} is the record that is sold or handed over, so it goes on. Open it and join this "
        "one to it."
    ),
    "join-two-buyers": _(
        "{serial} is sold to another buyer. Cancel the wrong sale first; two machines handed over "
        "to two buyers are not one."
    ),
    "joined-away": _(
        "This record was joined into that of {serial}, and nothing more is entered here. Open that "
        "unit instead."
    ),
    "manufacturer-unchanged": _(
        "The list already says that of this manufacturer. Nothing has to be saved."
    ),
    "no-buyer": _("This unit is not sold. Enter buyer and tractor first."),
    "no-location": _("This unit has no location yet. Enter one."),
    "no-model": _("The model is not set, and the procedure depends on it. Set the model first."),
    "no-procedure": _(
        "No procedure in force fits model {model} and serial number {serial}. Ask the service "
        "manager to publish one."
    ),
    "not-handed-over": _("This unit is not handed over yet. Hand it over first, then register it."),
    "not-held": _("This unit is not on hold. Refresh the page."),
    "not-ready": _("Not ready for release. Still needed: {reasons}"),
    "not-received": _("This unit has not been received yet. Receive it first."),
    "not-released": _("This unit is not released. Release it first."),
    "not-released-for-buyer": _(
        "This unit is not released for its buyer. Have the service manager release it first."
    ),
    "nothing-changed": _("The buyer's details already say that. Nothing has to be saved."),
    "nothing-missing": _("No part of this unit is missing. Refresh the page."),
    "on-hold": _("Work is on hold: “{reason}” A service manager can take it off hold."),
    "plate-taken": _(
        "Another unit is on record with this plate, as serial number {serial}. Look at both: if "
        "they are one machine, join the two records."
    ),
    "plate-unchanged": _("The record already says {serial}. Nothing has to be corrected."),
    "released": _("This unit is released. A service manager can reopen it with a reason."),
    "sheet-started": _(
        "The sheet is already started on this model. A service manager can correct the model, with "
        "a reason."
    ),
    "still-open": _("This unit is not released. Reopen single steps instead."),
    # Sheet and steps.
    "already-acknowledged": _("You have already acknowledged these cautions. Go on working."),
    "already-checked": _("{step_title} is already checked. Refresh the page."),
    "already-settled": _("This is already settled. Nothing has to be done."),
    "already-started": _("The sheet is already started. Open it instead."),
    "caution-first": _("Read and acknowledge the cautions of “{step_title}” before working on it."),
    "does-not-apply": _("{step_title} does not apply to this unit. Leave it out."),
    "flag-open": _(
        "{step_title} has an open flag. Close it by an in-limit entry, or have the service manager "
        "accept the item."
    ),
    "flag-stands": _(
        "“{box}” has an open flag from a reading. Enter another reading, or have the service "
        "manager accept it."
    ),
    "incomplete": _("Not ready to sign. Still open: {open_boxes}."),
    "marked-not-applicable": _(
        "{step_title} was marked not applicable. Reopen it with a reason to work on it."
    ),
    "never-skipped": _("{step_title} protects people or the machine. It must be done."),
    "no-cautions": _("{step_title} has no cautions to acknowledge. Go on working."),
    "no-second-person": _("{step_title} needs no second person. Leave out the second check."),
    "no-sheet": _("The sheet has not been started. Start it first."),
    "not-ready-for-second": _("{step_title} is not signed yet. Have it signed first."),
    "not-safe-yet": _("Not safe yet ({work}): {states} comes first. Finish: {titles}."),
    "not-signed": _("{step_title} is still open. Go on working on it."),
    "same-revision": _("The sheet is already on this revision. Choose another one."),
    "signed": _("{step_title} is signed. Reopen it with a reason before you change anything."),
    "too-early": _("{step_title} comes later. Finish first: {titles}."),
    # Entries, limits and flags.
    "already-entered": _(
        "{box} is already entered. Use “Correct this” and give a reason; the earlier entry stays "
        "in the record."
    ),
    "document-value": _(
        "“{where}” in the document says “{typed}”, which is not a value of {quantity} with its "
        "unit. Correct the document and publish it again."
    ),
    "flag-closed": _("This flag is already closed. Refresh the page."),
    "line-too-early": _("Enter “{before}” first."),
    "missing-data": _(
        "{name} has no “{entry}” in its data, and this limit needs it. Ask the service manager to "
        "add it."
    ),
    "needs-entry": _(
        "This flag comes from a reading. Enter an in-limit reading in the same box, or have the "
        "service manager accept it."
    ),
    "needs-model": _("This depends on the model. Set the model first."),
    "needs-reading": _(
        "This limit depends on a reading not taken yet. Take it first: {ask} ({step_title})."
    ),
    "needs-tractor": _("This depends on the buyer's tractor. Enter buyer and tractor first."),
    "no-limit": _("This advice is about a limit, and the line has none. Correct the procedure."),
    "no-open-flag": _("This unit has no open flag. Refresh the page."),
    "not-current": _(
        "The entry you are correcting has already been replaced. Refresh to see the current one."
    ),
    "rule-result": _(
        "“{rule}” gives several numbers, and the limit needs one. Have the procedure name a field."
    ),
    # Documents.
    "already-accepted": _(
        "The manufacturer has already accepted this registration. Nothing has to be done."
    ),
    "already-finished": _("This document is no longer being made. Refresh the page."),
    "already-issued": _("This document was already issued as {number}. Open that one."),
    "file-altered": _(
        "The file of this document is not the one that was issued, and is not handed out. Have it "
        "made again, or restore it from your backup."
    ),
    "photo-file-missing": _(
        "The file of this photo is missing. Ask whoever looks after the service to run verify."
    ),
    "file-missing": _(
        "The file of this document is gone from the storage. Have it made again, or restore it "
        "from your backup; its digest in the log tells whether it is the right one."
    ),
    "file-intact": _("The file of document {number} is intact: there is nothing to make again."),
    "issued-otherwise": _(
        "This document was already issued with other contents. Ask for a new one."
    ),
    "not-made-yet": _("This document is not made yet. Wait until it is done."),
    "not-proven-yet": _(
        "The log is not signed as far as this document yet. Try again in a minute."
    ),
    "not-sent": _("No registration is waiting for the manufacturer's answer. Send it first."),
    "not-stopped": _("This document is made, or will be made without asking. Refresh the page."),
    "nothing-to-audit": _("Nothing was recorded in that period. Choose a longer one."),
    "parts-damaged": _(
        "This document holds others whose files are lost or damaged: {numbers}. Have these made "
        "again first."
    ),
    "record-damaged": _(
        "The record does not match the log. Damaged photos: {photos}. Damaged entries: {entries}. "
        "Restore them from your backup; nothing is sent until they match."
    ),
    "replaced-already": _(
        "This document cannot be made again with the same bytes, and none stands in for it: it "
        "was replaced by {by}. Use that one, or restore the file from your backup."
    ),
    "registration-incomplete": _(
        "The registration is missing: {missing}. Add it, then have the registration made again."
    ),
}
