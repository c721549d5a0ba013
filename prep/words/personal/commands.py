"""Commands on buyers, tools and guests in words, and what was erased of a unit."""

from typing import Final

from django.utils.translation import gettext_noop

from prep.words.command_words import CommandWords

COMMANDS: Final = {
    "buyer.hold": CommandWords(
        gettext_noop("Legal hold: keep the buyer's data"),
        gettext_noop("Put on legal hold"),
        gettext_noop("Nobody can erase this buyer until an administrator lifts the hold."),
        statement=gettext_noop(
            "By signing, you order this buyer's data to be kept for a legal reason."
        ),
    ),
    "buyer.lift-hold": CommandWords(
        gettext_noop("Lift the legal hold"),
        gettext_noop("Lift the hold"),
        gettext_noop("From then on the buyer's data may be erased."),
        statement=gettext_noop(
            "By signing, you confirm that the law no longer asks to keep this data."
        ),
    ),
    "buyer.erase": CommandWords(
        gettext_noop("Erase the buyer's personal data"),
        gettext_noop("Erase for good"),
        gettext_noop(
            "This cannot be undone. The details, the names of who received the units, photos that "
            "show people, and the files of certificates, registrations and audit bundles that hold "
            "any of it are deleted. Documents handed out still verify. Backups taken before still "
            "hold the data."
        ),
        statement=gettext_noop(
            "By signing, you confirm that this buyer's personal data may be erased for good."
        ),
    ),
    "photo.mark-people": CommandWords(
        gettext_noop("Mark a photo: it shows people"),
        gettext_noop("Mark the photo"),
        gettext_noop("From then on only a few see it, and it is erased with the buyer's data."),
    ),
    "photo.unmark-people": CommandWords(
        gettext_noop("Take back that a photo shows people"),
        gettext_noop("Take the mark back"),
        gettext_noop("Look at the photo first. From then on everybody of the yard sees it."),
    ),
    "instrument.move": CommandWords(
        gettext_noop("Move a tool to another yard"),
        gettext_noop("Move the tool"),
        gettext_noop("From then on only the other yard reads with it and keeps its calibration."),
    ),
    "guest.admit": CommandWords(
        gettext_noop("Admit a guest"),
        gettext_noop("Admit the guest"),
        gettext_noop(
            "The guest gets a link that opens these units once, on one device, until the day you "
            "choose. Buyers and whatever names them stay closed. Everything the guest opens is "
            "noted."
        ),
    ),
    "guest.end": CommandWords(
        gettext_noop("End a guest's visit"),
        gettext_noop("End the visit"),
        gettext_noop("The guest sees nothing from this moment on."),
    ),
    "guest.erase": CommandWords(
        gettext_noop("Erase the guest's name"),
        gettext_noop("Erase the name"),
        gettext_noop(
            "This cannot be undone. The company and what the guest opened stay on record. Backups "
            "taken before still hold the name."
        ),
    ),
}

FIELDS: Final = {
    "photo.mark-people photo": gettext_noop("Photo"),
    "photo.unmark-people photo": gettext_noop("Photo"),
    "people": gettext_noop("It shows people"),
    "to": gettext_noop("To yard"),
    "organization": gettext_noop("Company"),
    "guest.admit units": gettext_noop("Units"),
    "guest.admit days": gettext_noop("For how many days, up to 30"),
    "guest.admit name": gettext_noop("Guest's name"),
    "guest.admit why": gettext_noop("What the guest is here for"),
}

EVENTS: Final = {
    "photo.marked": gettext_noop("A photo was marked: it shows people. {reason}"),
    "photo.marked none": gettext_noop("A photo was marked: it shows no people. {reason}"),
    "document.erased": gettext_noop(
        "The file of document {number} was erased for the personal data in it."
    ),
    "unit.personal_erased": gettext_noop("The buyer's personal data were erased."),
}
