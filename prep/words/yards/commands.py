"""Commands on yards and tokens in words."""

from typing import Final

from django.utils.translation import gettext_noop

from prep.words.yards.command_words import CommandWords

COMMANDS: Final = {
    "system.add": CommandWords(
        gettext_noop("Add a system account"),
        gettext_noop("Add"),
        gettext_noop(
            "For a program that works with this yard. It has no password and no PIN: it sends a "
            "token that you issue, and signs nothing."
        ),
    ),
    "token.issue": CommandWords(
        gettext_noop("Issue a token"),
        gettext_noop("Issue"),
        gettext_noop(
            "For a program that acts in your name. It can do what you tick here and your roles "
            "allow, and no more."
        ),
    ),
    "token.issue-system": CommandWords(
        gettext_noop("Issue a token for a system account"), gettext_noop("Issue")
    ),
    "token.revoke": CommandWords(
        gettext_noop("Revoke a token"),
        gettext_noop("Revoke"),
        gettext_noop("Whatever uses it is shut out at once."),
    ),
}

# What the fields of their forms are called.
FIELDS: Final = {
    "days": gettext_noop("Good for so many days"),
    "roles": gettext_noop("Roles"),
    "scopes": gettext_noop("May be used to"),
    "system": gettext_noop("System account"),
    "username": gettext_noop("User name"),
    "system.add name": gettext_noop("What it is"),
    "token.issue name": gettext_noop("What it is for"),
    "token.issue-system name": gettext_noop("What it is for"),
    "token.issue site": gettext_noop("Yard"),
}
