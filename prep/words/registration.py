"""What a registration may be missing, in words: its name, and what to do about it."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.words.reader import Reader, say

# By the token of the item; a model's own list may ask for more, by names of its data.
NAMES: Final[dict[str, str]] = {
    "serial": _("serial number"),
    "model": _("model"),
    "buyer name": _("buyer name"),
    "buyer address": _("buyer address"),
    "buyer as assigned": _("buyer as assigned"),
    "tractor": _("tractor"),
    "release": _("release"),
    "handover": _("handover"),
    "delivery date": _("delivery date"),
    "use": _("use"),
    "delivery certificate": _("delivery certificate"),
    "buyer phone": _("buyer phone"),
    "buyer e-mail": _("buyer e-mail"),
    "recipient": _("recipient"),
    "hour meter": _("hour meter"),
    "place": _("place of the handover"),
    "options": _("options"),
    "carrier papers": _("serial number on the papers"),
}

TO_DO: Final[dict[str, str]] = {
    "serial": _("Receive the unit under the serial number on its plate."),
    "model": _("Set the model."),
    "buyer name": _("Assign a buyer whose data has not been erased."),
    "buyer address": _("Add the buyer's mailing address."),
    "buyer as assigned": _("The buyer's data is not what the log holds. Edit the buyer details."),
    "tractor": _("Enter the buyer's tractor."),
    "release": _("Have the unit released for its buyer."),
    "handover": _("Hand the unit over, and record it."),
    "delivery date": _("Hand the unit over; its day is the delivery date."),
    "use": _("Enter whether it goes to own use, rental or commercial use."),
    "delivery certificate": _("Look at why it was not made, and retry it."),
}

BY_MODEL: Final = _("The manufacturer asks for it with every registration.")


def item_name(item: str, reader: Reader) -> str:
    """What a missing item is called."""
    return say(reader, NAMES[item]) if item in NAMES else item


def to_do(item: str, reader: Reader) -> str:
    """What to do about a missing item."""
    return say(reader, TO_DO.get(item, BY_MODEL))


def missing_items(items: tuple[str, ...], reader: Reader) -> list[dict[str, str]]:
    """Missing items with their names and what to do, as screens and programs are told."""
    return [{"name": item_name(item, reader), "do": to_do(item, reader)} for item in items]
