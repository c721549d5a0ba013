"""Commands on yards and tokens in words."""

from typing import Final

from django.utils.translation import gettext_noop

from prep.words.command_words import CommandWords

COMMANDS: Final = {
    "site.open": CommandWords(
        gettext_noop("Open a yard"),
        gettext_noop("Open the yard"),
        gettext_noop("You become its administrator, and give roles there to others."),
    ),
    "site.describe": CommandWords(
        gettext_noop("Change name and address"),
        gettext_noop("Save changes"),
        gettext_noop(
            "Documents issued from now on say this; those already issued stay as they are. A new "
            "time zone counts from now on."
        ),
    ),
    "site.set-hours": CommandWords(
        gettext_noop("Set opening hours"), gettext_noop("Save opening hours")
    ),
    "site.set-holidays": CommandWords(
        gettext_noop("Set holidays and days closed"), gettext_noop("Save days")
    ),
    "site.set-letterhead": CommandWords(
        gettext_noop("Set the letterhead"), gettext_noop("Save letterhead")
    ),
    "site.set-logo": CommandWords(gettext_noop("Set the logo"), gettext_noop("Save logo")),
    "site.remove-logo": CommandWords(gettext_noop("Remove the logo"), gettext_noop("Remove logo")),
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
    "closed": gettext_noop("Days closed"),
    "country": gettext_noop("Country, by its two letters"),
    "dealer": gettext_noop("Dealership"),
    "hours": gettext_noop("Opening hours"),
    "lines": gettext_noop("Further lines on documents"),
    "postal_code": gettext_noop("Postal code"),
    "region": gettext_noop("State or province"),
    "street": gettext_noop("Street"),
    "time_zone": gettext_noop("Time zone"),
    "web": gettext_noop("Web address"),
    "site.open name": gettext_noop("Name of the yard"),
    "site.open site": gettext_noop("Code"),
    "site.describe name": gettext_noop("Name of the yard"),
    "site.describe place": gettext_noop("Town"),
    "site.set-holidays region": gettext_noop("Region of the holidays"),
    "site.set-holidays country": gettext_noop("Country of the holidays"),
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
