"""Requests that cannot be understood or carried out as they were sent, for whoever writes them."""

from typing import Final

from django.utils.translation import gettext_noop as _

SENTENCES: Final[dict[str, str]] = {
    # Syntax.
    "body-unfit": _("The body is not a JSON object. Correct it, then send it again."),
    "body-unprintable": _(
        "A text in the body has a NUL character or half a character in it. Take it out, then send "
        "it again."
    ),
    "device-unfit": _(
        "“{header}” is at most {most} characters that can be printed. Call the device by a short "
        "name."
    ),
    "body-deep": _(
        "The body is nested more than {most} levels deep. Send it as the description says."
    ),
    "body-fields": _("The form has too many fields or files. Send what is described."),
    "body-cut-off": _("Only a part of this arrived. Nothing was recorded. Send it again."),
    "body-encoded": _(
        "The body is compressed or encoded. Send it as it is, without Content-Encoding."
    ),
    "body-name-twice": _(
        "“{name}” is there twice in one object of the body. Send it once, then nothing is guessed."
    ),
    "body-number-long": _(
        "A number in the body has more than {most} digits. Send it with fewer, or as text where a "
        "text is taken."
    ),
    "cursor-of-another-order": _(
        "This cursor is of another list or another order. Start again without one."
    ),
    "cursor-unfit": _("This cursor did not come from here. Start again without one."),
    "key-missing": _(
        "Send a new UUID in the header {header} with each command, and the same one when you send "
        "that command again."
    ),
    "key-unfit": _("{header} must be a UUID, such as 5f0c7d0e-8a53-4f0e-9b5a-3d6a2f6f0f11."),
    "no-file-sent": _("There is no file. Choose the file to check, then send it."),
    "no-search": _("This list has no search. Leave out q, or use a filter."),
    "no-such-field": _("This list has no field “{wanted}”. Choose from {known}."),
    "no-such-filter": _("This list has no filter “{filter}”. Choose from {known}."),
    "no-such-format": _("A list cannot be exported like that. Choose {known}."),
    "no-such-order": _("This list has no order “{order}”. Choose {known}."),
    "one-view-only": _("Ask for known_at or for happened_by, not for both."),
    "page-size-unfit": _("The size of a page is a whole number from 1 to {most}."),
    "parameter-repeated": _("“{parameter}” was given more than once. Give it once."),
    "parameter-unfit": _("“{parameter}” has a NUL character in it. Take it out."),
    "part-missing": _("There is no picture. Send it as the part “photo”."),
    "precondition-unfit": _(
        'The entity tags cannot be read. Put each in quotes, such as "12", with commas between.'
    ),
    "sizes-unfit": _("Give two sizes, the older first, of at most {sealed} sealed entries."),
    # Preconditions.
    "changed-meanwhile": _("This changed since you looked at it. Look again, then decide."),
    "precondition-missing": _("Look at the unit first, then send its ETag in the header If-Match."),
    # Sizes, and how often.
    "file-too-large": _(
        "The file is over {most} MB. Check it on your own computer, with verifier.py from the "
        "bundle or by comparing its SHA-256."
    ),
    "checkpoint-file-too-large": _(
        "This file is larger than {most} MB. Give the mail or the text with the checkpoint alone."
    ),
    "photo-too-large": _("The picture is over {most} MB. Send a smaller one."),
    "too-large": _("This is too large. Send at most {most} kB."),
    "too-many-documents": _(
        "You asked for {most} documents within a day. Ask for several units in one document, or "
        "wait until tomorrow."
    ),
    "too-many-checks": _("Too many checks at once. Try again in {seconds} s."),
}
