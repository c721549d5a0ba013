"""Commands on people in words, and the fields of their forms."""

from typing import Final

from django.utils.translation import gettext_noop as _

from prep.words.command_words import CommandWords

COMMANDS: Final = {
    "person.invite": CommandWords(
        _("Invite a person"),
        _("Invite"),
        _(
            "They get a link, or a code you read out, and choose their own password and PIN. It is "
            "good for seven days and works once."
        ),
    ),
    "invitation.renew": CommandWords(
        _("Make a new invitation link"),
        _("Make a new link"),
        _("The link and code up to now stop working."),
    ),
    "invitation.withdraw": CommandWords(
        _("Withdraw the open link"),
        _("Withdraw the link"),
        _("For a link or code that reached the wrong person."),
    ),
    "member.add": CommandWords(_("Give a role"), _("Give role")),
    "member.remove": CommandWords(
        _("Take a role"), _("Take role"), _("What they signed stays signed.")
    ),
    "person.reset": CommandWords(
        _("Reset password and PIN"),
        _("Make a reset link"),
        _(
            "They choose new ones by a link or code. The old ones work until it is used; then they "
            "are signed out everywhere. Give it to them alone: whoever has it is them."
        ),
    ),
    "person.suspend": CommandWords(
        _("Suspend the account"),
        _("Suspend"),
        _("They are signed out at once, at every yard, and cannot sign in or sign until restored."),
    ),
    "person.restore": CommandWords(
        _("Restore the account"),
        _("Restore"),
        _("They sign in with their old password and PIN again."),
    ),
    "person.leave": CommandWords(
        _("Left the dealership"),
        _("Record that they left"),
        _(
            "Roles at every yard and all sign-ins end now, whatever the last day. What they signed "
            "stays signed."
        ),
    ),
    "person.sign-out": CommandWords(
        _("Sign out everywhere"),
        _("Sign out everywhere"),
        _("On every tablet and for every token, this one too."),
    ),
    "person.rename": CommandWords(
        _("Correct the name"),
        _("Correct the name"),
        _(
            "They sign in with the user name as it stands here. What they signed and what was "
            "issued before keeps the former name; the record has both."
        ),
    ),
    "person.contact": CommandWords(
        _("E-mail and phone"),
        _("Save"),
        _("Invitation and reset links are mailed there. An empty field is erased."),
    ),
    "person.prefer": CommandWords(_("Language, units and numbers"), _("Save")),
    "card.record": CommandWords(_("Record a training card"), _("Save card")),
    "card.withdraw": CommandWords(_("Withdraw a training card"), _("Withdraw card")),
}

FIELDS: Final = {
    "card": _("Training card"),
    "card.record number": _("Card number"),
    "card.record kind": _("Kind of card"),
    "card.record manufacturer": _("Manufacturer, for its course"),
    "last_day": _("Last day of work"),
    "new_pin": _("New PIN"),
    "numbers": _("How you write decimals"),
    "password": _("Password"),
    "person.invite language": _("Their language"),
    "person.invite name": _("Name, as printed beside signatures"),
    "person.invite numbers": _("How they write decimals"),
    "person.invite units": _("Their units"),
    "person.invite username": _("User name, to sign in with"),
    "person.prefer language": _("Language"),
    "person.rename name": _("Name, as printed beside signatures"),
    "person.rename username": _("User name, to sign in with"),
    "roles": _("Roles"),
    "units": _("Units"),
    "username": _("User name"),
    "valid_until": _("Valid until"),
}
