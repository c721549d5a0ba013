"""What happened to an account, in words."""

from typing import Any, Final

import msgspec
from django.utils.translation import get_language_info
from django.utils.translation import gettext_noop as _

from prep.record.log.reference_event import ReferenceEvent
from prep.record.person import events as e
from prep.record.roles import Role
from prep.record.site.events import MemberAdded, MemberRemoved
from prep.words.dates import short_day
from prep.words.people.states import card_kind, numbers_text, units_text
from prep.words.permissions import role_text
from prep.words.reader import Reader, say

SENTENCES: Final = {
    "person.enrolled": _("Account made at the service's console."),
    "person.system_enrolled": _("Account of a program made: {name}, user name {username}."),
    "person.invited": _("Invited as {name}, user name {username}."),
    "person.renamed": _("Name corrected to {name}, user name {username}: {reason}"),
    "person.invitation_made": _("A new invitation link was made."),
    "person.invitation_made reset": _("A link to reset password and PIN was made."),
    "person.invitation_withdrawn": _("The open link was withdrawn."),
    "person.invitation_used": _("Joined: chose password and PIN."),
    "person.invitation_used reset": _(
        "Chose a new password and PIN by a link, and was signed out everywhere."
    ),
    "person.password_changed": _("Password changed."),
    "person.pin_changed": _("PIN changed."),
    "person.preferences_chosen": _("Chose language {language}; {units}; decimals: {numbers}."),
    "person.contact_changed": _("E-mail or phone changed."),
    "person.suspended": _("Suspended: {reason}"),
    "person.restored": _("Restored: {reason}"),
    "person.left": _("Left; last day of work {last_day}."),
    "person.signed_out_everywhere": _("Signed out everywhere."),
    "person.card_recorded": _("Training card recorded: {card_kind}, until {valid_until}."),
    "person.card_recorded course": _(
        "Training card recorded: {card_kind}, {manufacturer}, until {valid_until}."
    ),
    "person.card_withdrawn": _("Training card withdrawn: {reason}"),
    "site.member_added": _("Role given at {site}: {role}."),
    "site.member_removed": _("Role taken at {site}: {role}."),
}


def account_event_text(event: ReferenceEvent, reader: Reader, site: str = "") -> str:
    """What an event says to whoever reads the history of an account. `site` is the yard's name."""
    tag = str(event.__struct_config__.tag)
    text = SENTENCES.get(f"{tag} {_variant(event)}") or SENTENCES[tag]
    return say(reader, text, **_values(event, reader, site))


def _variant(event: ReferenceEvent) -> str:
    if isinstance(event, e.InvitationMade):
        return event.invitation.purpose
    if isinstance(event, e.CardRecorded):
        return "course" if event.manufacturer else ""
    return event.purpose if isinstance(event, e.InvitationUsed) else ""


def _values(event: ReferenceEvent, reader: Reader, site: str) -> dict[str, Any]:
    values = msgspec.structs.asdict(event)
    if isinstance(event, e.PreferencesChosen):
        values["language"] = get_language_info(event.language)["name_local"].capitalize()
        values["units"] = units_text(event.units, reader)
        values["numbers"] = numbers_text(event.numbers, reader)
    if isinstance(event, e.CardRecorded):
        values["card_kind"] = card_kind(event.card_kind, reader)
        values["valid_until"] = short_day(event.valid_until, reader)
    if isinstance(event, e.PersonLeft):
        values["last_day"] = short_day(event.last_day, reader)
    if isinstance(event, MemberAdded | MemberRemoved):
        values |= {"site": site, "role": role_text(Role(event.role), reader)}
    return values
