"""Inputs that are understood, and not acceptable as they are."""

from typing import Final

from django.utils.translation import gettext_noop as _

SENTENCES: Final[dict[str, str]] = {
    "closed-twice": _("{day} stands in the list twice. Keep one of them."),
    "hours-end-first": _(
        "The yard would close at {closes}, which is not after it opens at {opens}. Hours end by "
        "24:00; what goes on after midnight belongs to the next day."
    ),
    "hours-unreadable": _("“{typed}” cannot be read as opening hours. Write it as 07:30-12:00."),
    "closed-unreadable": _(
        "“{typed}” cannot be read as a day closed. Write its date and a name: 2026-08-21 County "
        "fair."
    ),
    "hours-overlap": _(
        "Hours that begin at {opens} overlap with those until {closes} of the same day. Join them, "
        "or correct one."
    ),
    "no-such-country": _(
        "“{typed}” is no country whose holidays are known. Use its two letters, such as US."
    ),
    "no-such-region": _("“{typed}” is no region with holidays of its own. Known: {known}."),
    "attachment-in-batch": _(
        "A picture cannot be sent together with other entries. Send it by itself when the signal "
        "is back."
    ),
    "author-unwanted": _(
        "This cannot be entered in somebody else's name. Have that person do it under their own."
    ),
    "command-reused": _(
        "This command id was already used for something else. Send each command with an id of its "
        "own."
    ),
    "day-unclear": _("“{typed}” is not a valid date. Enter it like 2026-03-02."),
    "device-time-unclear": _(
        "“{typed}” does not say when this happened. Enter it again; it counts as of now."
    ),
    "id-unfit": _("“{typed}” is not an id. Copy it from the list again."),
    "instrument-missing": _("Choose which {kind} you used."),
    "instrument-out-of-range": _(
        "The reading is outside the range of {name}, {low} to {high}. Use a tool whose range "
        "covers it."
    ),
    "instrument-out-of-service": _("{name} is out of service ({reason}). Use another tool."),
    "instrument-overdue": _(
        "{name} was due for calibration on {due}. Use a tool in calibration, and send this one in."
    ),
    "instrument-wrong-kind": _("{name} is a {kind}. This reading needs a {needed}."),
    "join-itself": _("These are one and the same record. Choose the other one."),
    "limit-unfit": _("The lower limit is above the upper limit. Swap them."),
    "look-alike": _(
        "Serial number {serial} looks like {look_alikes}, already here. Compare the plates. "
        "If it is a different machine, say so below, then send it again."
    ),
    "manual-missing": _(
        "The operator's manual goes with the machine. Hand it over first, then record it."
    ),
    "manufacturer-alike": _(
        "“{name}” is easily mistaken for {alike}, already in the list. Choose that one. If it is a "
        "different manufacturer, enter {alike} under “Looks like, but is not”."
    ),
    "manufacturer-known": _("This is {known}, already in the list. Choose that one."),
    "manufacturer-unreadable": _("This name has no letter or digit. Enter it as plates print it."),
    "happened-before-buyer": _(
        "This is dated before the buyer was entered ({begun}). Enter it with a later time, or with "
        "the time it is now."
    ),
    "happened-before-flag": _(
        "This is dated before the flag was raised ({moment}). Enter it with a later time, or with "
        "the time it is now."
    ),
    "happened-before-instrument": _(
        "This is dated before {name} was registered here ({begun}). Choose the tool that was used, "
        "or take the reading again now."
    ),
    "happened-before-model": _(
        "This is dated before the data of {name} were published here ({begun}). Enter it with a "
        "later time. A unit that arrived earlier is received without a model, which is set "
        "afterwards."
    ),
    "happened-before-procedure": _(
        "This is dated before the procedure “{name}” came into force ({begun}). Enter it with a "
        "later time, or with the time it is now."
    ),
    "happened-before-release": _(
        "This is dated before the unit was released ({moment}). Correct the time."
    ),
    "happened-before-reopening": _(
        "“{step_title}” was reopened on {moment}, and this is from before that. Do the step again "
        "and enter what you find now."
    ),
    "happened-before-sheet": _(
        "This is dated before preparation was started ({moment}). Check the date and time, then "
        "enter it again."
    ),
    "happened-before-start": _(
        "This is dated before its record begins ({begun}). Check the date and time, then enter it "
        "again."
    ),
    "happened-before-work": _(
        "This is dated before the work it signs for was done ({moment}). Sign with the time it is "
        "now."
    ),
    "happened-in-future": _(
        "This is dated in the future. Check the date and time, and the clock of the tablet, then "
        "enter it again."
    ),
    "happened-too-long-ago": _(
        "This is dated more than {days} days ago. Check the date and time, and the clock of the "
        "tablet, then enter it again."
    ),
    "moment-in-future": _("This moment is in the future. Choose one that has passed."),
    "moment-unclear": _("“{typed}” is not a valid date and time. Enter it like 2026-03-02T17:30."),
    "moment-unfit": _(
        "{header} must be a date and time with its offset, such as 2026-03-02T08:15:00Z."
    ),
    "name-missing": _("The name is missing. Enter it as it is to be printed."),
    "name-taken": _("The user name {username} is taken. Choose another."),
    "no-plate-photo": _(
        "There is no such photo of this unit's plate. Take one and attach it first."
    ),
    "no-paper": _("There is no photo of this page. Take one, attach it, then copy from it."),
    "no-positions": _("“{ask}” has no positions. Leave the position empty."),
    "no-such-kind": _("There is no document “{typed}”. Choose {known}."),
    "keeper-known": _("This address gets the checkpoint already. There is nothing to do."),
    "no-checkpoint-inside": _(
        "There is no signed checkpoint in this. Give the whole text, from the log's name down to "
        "the signature, or the mail it came in as a file."
    ),
    "no-such-language": _("This language is not available. Choose one from the list."),
    "no-such-paper": _("There is no such paper size. Choose {sizes}."),
    "no-such-place": _("A page of these labels has only {count}. Start at one of them."),
    "no-such-place-on-sheet": _("“{typed}” is not a valid label position. Start at 1."),
    "no-such-position": _("This line has no such position. Choose {positions}."),
    "no-such-size": _("There is no such label size. Choose {sizes}."),
    "no-such-time-zone": _("There is no time zone “{typed}”. Enter one such as America/Chicago."),
    "no-such-units": _("There is no unit {units} at your yards. Leave it out."),
    "no-such-author": _(
        "Nobody called “{author}” does service work at this yard. Choose who made the entry."
    ),
    "no-such-command": _("There is no command “{typed}” for a batch. Correct its name."),
    "no-such-writer": _("Nobody called “{writer}” works at this yard. Choose who wrote it."),
    "not-a-check": _("“{ask}” needs more than yes or no. Enter what it asks."),
    "not-a-choice": _("This is not one of the choices. Choose {allowed}."),
    "not-a-count": _("“{typed}” is not a whole number. Enter digits only."),
    "not-a-photo": _("This is not a picture we can use. Send a JPEG, PNG or WebP picture."),
    "reading-implausible": _(
        "“{typed}” is beyond what any machine has ({least} to {most}). Check the number and its "
        "unit."
    ),
    "unit-of-another-box": _(
        "“{unit}” is not a unit of what is measured here. Choose one of: {allowed}."
    ),
    "not-a-reading": _("“{ask}” takes no reading. Answer what it asks."),
    "not-a-setting": _("“{ask}” is not about a tool's setting. Answer what it asks."),
    "suspicion-missing": _("“{ask}” is asked on a suspected fault only. Say what you suspect."),
    "extremes-crossed": _(
        "The highest, {highest}, is below the lowest, {lowest}. Measure again. If this one is "
        "right, correct “{other}” first."
    ),
    "contradicts": _(
        "You typed {typed}, but {because} make it {expected}. Measure again. If {typed} is right, "
        "enter it once more and say so; then one of the others is wrong."
    ),
    "more-moved-than-checked": _(
        "More moved than the {checked} that were gone over. Count again and correct one of the two."
    ),
    "more-than-there-are": _(
        "There are only {fasteners} here. Count again and correct the number."
    ),
    "not-shown": _("The walk-through is not complete. Show the recipient: {missing}."),
    "not-the-work-of": _(
        "{step_title} is work for {roles}, and {writer} is not one. Choose who did the work."
    ),
    "other-maker": _(
        "{model} is made by {manufacturer}, but the plate says {on_plate}. Choose the model on the "
        "plate."
    ),
    "other-model": _(
        "Procedure {procedure} is for {models}, not for {model}. Choose a procedure for this model."
    ),
    "other-procedure": _(
        "A sheet can only move to another revision of its own procedure. Choose one of those."
    ),
    "other-serials": _(
        "Procedure {procedure} revision {revision} is for serial numbers {first} to {last}. Choose "
        "a revision for this one."
    ),
    "paper-of-another-revision": _(
        "The page has the mark “{mark}”, but the sheet in force has “{in_force}”, so they may ask "
        "for different things. Read the mark again. If it is right, print the sheet again and do "
        "the work by that one."
    ),
    "paper-unclear": _("Choose the photo, who wrote it, and the date and time, then enter it."),
    "period-unfit": _(
        "The period ends before it begins, or begins after the moment of the audit. Choose an "
        "earlier first day."
    ),
    "photo-damaged": _(
        "This picture is damaged or was not sent whole. Take it again, or send it once more."
    ),
    "photo-moving": _("This is a moving picture. Send a still one."),
    "photo-too-many-points": _(
        "The picture has over {most} megapixels. Send it in a lower resolution."
    ),
    "photo-missing": _("There is no picture. Choose or take one first."),
    "password-common": _("Many people use that password. Choose another."),
    "password-like-name": _("That password is too much like your name. Choose another."),
    "password-too-long": _("A password has at most {most} characters. Choose a shorter one."),
    "password-too-short": _("A password has at least 10 characters. Choose a longer one."),
    "pin-easy": _(
        "That PIN is easy to guess. Choose one that is not a single digit repeated, a run such as "
        "1234, a year, or your user name."
    ),
    "pin-unfit": _("This cannot be a PIN. Enter 4 to 12 digits."),
    "reason-missing": _("The reason is missing. Enter it."),
    "search-too-long": _("This search is too long. Enter {most} words at most."),
    "serial-unreadable": _(
        "This is not a serial number as it stands on a plate. Type it exactly, with no spaces "
        "before or after it."
    ),
    "signature-in-batch": _(
        "Signing needs a PIN, and a PIN is never stored on a tablet. Sign when the signal is back."
    ),
    "steps-and-nothing-to-redo": _(
        "You named steps to do again and also said that nothing has to be done again. Keep one of "
        "the two."
    ),
    "steps-to-redo-missing": _(
        "Name the steps that have to be done again. If none has to, say why not."
    ),
    "target-missing": _("It does not say which record it is about. Add its id as the target."),
    "target-unwanted": _("This starts a new record. Leave out the target."),
    "text-unfit": _(
        "A text has a NUL character in it, which cannot be shown. Type it again without it."
    ),
    "typed-by-another": _(
        "Somebody else typed this, and {person} is signed in now. Nothing was recorded. Switch "
        "user, or enter it under your own name if you read it yourself."
    ),
    "unit-missing": _("This document is of one unit. Choose the unit."),
    "unit-unwanted": _("This document is not of one unit. Ask for it without a unit."),
    "units-missing": _("No unit is chosen. Choose the units the labels are for."),
    "units-unwanted": _("These are the labels of one unit. Leave the list of units empty."),
    "unknown-option": _("{model} has no option {unknown}. Its options: {options}."),
    "unknown-quantity": _("There is no quantity “{typed}”. Use {known}."),
}
