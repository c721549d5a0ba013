"""Commands on devices in words, and the labels of their fields."""

from typing import Final

from django.utils.translation import gettext_noop

from prep.words.command_words import CommandWords

COMMANDS: Final = {
    "device.enroll": CommandWords(
        gettext_noop("Make this device one of the yard's"),
        gettext_noop("Enroll this device"),
        gettext_noop(
            "Whoever signs in on it with name and password can switch to themselves here by PIN "
            "for 30 days. Enroll only what stays at the yard."
        ),
    ),
    "device.rename": CommandWords(gettext_noop("Rename the device"), gettext_noop("Save new name")),
    "device.revoke": CommandWords(
        gettext_noop("Take the device out of use"),
        gettext_noop("Take out of use"),
        gettext_noop(
            "Everybody is signed out on it at once, and nobody can switch user there by PIN. "
            "Entries waiting on it stay there until it is enrolled again."
        ),
    ),
}

FIELDS: Final = {
    "device.enroll name": gettext_noop("Name written on it, such as Tablet 2"),
    "device.rename name": gettext_noop("Name written on it"),
    "device.revoke reason": gettext_noop("What happened to it"),
    "key_digest": gettext_noop("SHA-256 of its key"),
}
