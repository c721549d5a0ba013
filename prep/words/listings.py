"""Lists in words: their titles, and what their fields, filters and orders are called."""

from collections.abc import Callable, Mapping
from datetime import date, datetime
from typing import Any, Final

from django.utils import timezone
from django.utils.translation import gettext_noop as _

from prep.record.roles import Role
from prep.record.token.scopes import Scope
from prep.words import dates, verdicts
from prep.words.documents.states import document_state
from prep.words.people.states import card_kind, card_state_text, person_state
from prep.words.permissions import role_text, scope_text
from prep.words.personal.shown import how_text, sort_text
from prep.words.reader import Reader, say
from prep.words.unit.registrations import state_text as registration_state
from prep.words.unit.states import state_word
from prep.words.yards.token_states import token_state

TITLES: Final[dict[str, str]] = {
    "units": _("Units"),
    "entries": _("Entries"),
    "flags": _("Flags"),
    "shortages": _("Missing parts"),
    "instruments": _("Tools"),
    "buyers": _("Buyers"),
    "documents": _("Documents"),
    "registrations": _("Warranty registrations"),
    "procedures": _("Procedures"),
    "manufacturers": _("Manufacturers"),
    "models": _("Models"),
    "tractors": _("Tractors"),
    "sites": _("Yards"),
    "members": _("Roles"),
    "people": _("People"),
    "cards": _("Training cards"),
    "tokens": _("Tokens"),
    "guests": _("Guests"),
    "personal_reads": _("Who looked at personal data"),
    "devices": _("Devices"),
    "log": _("Log"),
}

# By the name of a field, a filter or an order; "list name" where it means something of its own.
NAMES: Final[dict[str, str]] = {
    "actor": _("Person (id)"),
    "actor_name": _("Person"),
    "address": _("Address"),
    "aliases": _("Other spellings"),
    "alike": _("Same for equal units"),
    "arrived": _("Received"),
    "asked": _("Filters"),
    "at": _("When"),
    "arrived_by": _("Received by"),
    "before": _("Before"),
    "body": _("Content"),
    "buyer": _("Buyer (id)"),
    "bytes": _("Size in bytes"),
    "canonical": _("Value compared"),
    "closed": _("Closed"),
    "closed_by": _("Closed by"),
    "code": _("Code"),
    "command": _("Command (id)"),
    "concession": _("Concession"),
    "contact": _("Last contact"),
    "count": _("How many"),
    "created": _("Requested"),
    "current": _("Stands"),
    "dealer": _("Dealership"),
    "device": _("Device"),
    "digest": _("SHA-256"),
    "due": _("Calibration due"),
    "email": _("E-mail"),
    "ended": _("Ended"),
    "erased": _("Erased"),
    "enrolled": _("Enrolled"),
    "enrolled_by": _("Enrolled by"),
    "expected": _("Expected"),
    "finished": _("Finished"),
    "first_reason": _("First reason"),
    "former_serials": _("Formerly read as"),
    "held": _("Legal hold"),
    "how": _("Shown by"),
    "going_on": _("Visit goes on"),
    "handed_over": _("Handed over"),
    "happened": _("Done"),
    "id": _("Id"),
    "in_use": _("In use"),
    "in_service": _("In service"),
    "in_yard": _("In the yard"),
    "instrument": _("Tool"),
    "instrument_due": _("Tool due"),
    "kind": _("Kind"),
    "language": _("Language"),
    "last_sign_in": _("Last sign-in"),
    "late": _("Entered late"),
    "leaf": _("Leaf hash"),
    "lent_to": _("Taken for"),
    "limit": _("Limit"),
    "limit_source": _("Source of the limit"),
    "line": _("Line"),
    "look_alike": _("Looks like the serial"),
    "maker": _("Manufacturer"),
    "media_type": _("Type"),
    "missing": _("Still missing"),
    "model": _("Model (code)"),
    "model_codes": _("Models"),
    "model_name": _("Model"),
    "name": _("Name"),
    "newest": _("Newest first"),
    "noted": _("Noted"),
    "noted_before": _("Noted before"),
    "noted_by": _("Noted by"),
    "noted_since": _("Noted since"),
    "number": _("Number"),
    "oldest": _("Oldest first"),
    "open": _("Still open"),
    "open_flags": _("Open flags"),
    "opened": _("Opened"),
    "options": _("Options"),
    "organization": _("Company"),
    "origin": _("Raised by what"),
    "out_of_service": _("Out of service"),
    "part": _("Part"),
    "past_due": _("Past calibration date"),
    "person": _("User name"),
    "person_name": _("Person"),
    "phone": _("Phone"),
    "place": _("Location"),
    "position": _("Position"),
    "procedure": _("Procedure"),
    "published": _("Published"),
    "quantity": _("Quantity"),
    "raised": _("Raised"),
    "raised_before": _("Raised before"),
    "raised_by": _("Raised by"),
    "raised_since": _("Raised since"),
    "raw": _("As typed"),
    "reader": _("Reader (id)"),
    "reader_name": _("Person"),
    "rows": _("Rows"),
    "ready_for_buyer": _("Ready for its buyer"),
    "ready_for_stock": _("Ready for stock"),
    "reason_count": _("Reasons"),
    "received": _("Received"),
    "received_before": _("Received before"),
    "received_since": _("Received since"),
    "recorded": _("Entered"),
    "recorded_before": _("Entered before"),
    "recorded_since": _("Entered since"),
    "registration": _("Registration"),
    "registration_due": _("Registration due"),
    "released": _("Released"),
    "revision": _("Revision"),
    "revoked": _("Revoked"),
    "role": _("Role"),
    "serial": _("Serial number"),
    "since": _("Since"),
    "sites": _("Yards"),
    "sort": _("What"),
    "subject": _("Which one"),
    "site": _("Yard"),
    "sold": _("Sold"),
    "state": _("State"),
    "step": _("Step"),
    "state_words": _("Readiness"),
    "steps_done": _("Steps done"),
    "soonest": _("Soonest ready first"),
    "steps_left": _("Steps left"),
    "steps_total": _("Steps in all"),
    "stops_release": _("Blocks release"),
    "stream": _("History of"),
    "stream_id": _("Which one"),
    "text": _("Problem"),
    "time_zone": _("Time zone"),
    "title": _("Title"),
    "tractor": _("Tractor"),
    "ends_before": _("Ends before"),
    "ends_first": _("Ends first"),
    "manufacturer": _("Manufacturer"),
    "unit": _("Unit (id)"),
    "guests units": _("Units"),
    "until": _("Until"),
    "why": _("Why"),
    "unsent": _("Entries not sent"),
    "unit_symbol": _("Unit of measure"),
    "units": _("Units of measure"),
    "valid_until": _("Valid until"),
    "verdict": _("Verdict"),
    "version": _("Version"),
    "country": _("Country"),
    "postal_code": _("Postal code"),
    "region": _("Region"),
    "sites name": _("Yard"),
    "sites place": _("Town"),
    "street": _("Street"),
    "web": _("Web address"),
    "expires": _("Good until"),
    "hint": _("Begins with"),
    "issued": _("Issued"),
    "scopes": _("May be used to"),
    "signed_in": _("Sign-in"),
    "used": _("Last used"),
    "tokens name": _("What it is for"),
    "registrations due": _("Due first"),
    "log position": _("Position in the log"),
}
YES: Final = _("yes")
NO: Final = _("no")

# Tokens that have words of their own, by "list field" or field.
_TOKENS: Final[Mapping[str, Callable[[str, Reader], str]]] = {
    "cards kind": card_kind,
    "cards state": card_state_text,
    "documents state": document_state,
    "tokens scopes": lambda token, reader: scope_text(Scope(token), reader),
    "tokens state": token_state,
    "people state": person_state,
    "registration": registration_state,
    "personal_reads sort": sort_text,
    "personal_reads how": how_text,
    "role": lambda token, reader: role_text(Role(token), reader),
    "state": state_word,
    "verdict": verdicts.word,
}


def list_title(listing: str, reader: Reader) -> str:
    """What a list is called."""
    return say(reader, TITLES[listing])


def name_in_list(listing: str, name: str, reader: Reader) -> str:
    """What a field, a filter or an order is called."""
    return say(reader, NAMES.get(f"{listing} {name}") or NAMES[name])


def cell(listing: str, field: str, value: Any, reader: Reader) -> str:
    """A value of a row as a person reads it."""
    if isinstance(value, bool):
        return say(reader, YES if value else NO)
    if isinstance(value, datetime):
        return dates.short_moment(timezone.localtime(value), reader)
    if isinstance(value, date):
        return dates.day(value, reader)
    if isinstance(value, list | tuple):
        return ", ".join(token_text(listing, field, str(part), reader) for part in value)
    if isinstance(value, dict):
        return str(value.get("text") or value["word"])
    return token_text(listing, field, "" if value is None else str(value), reader)


def token_text(listing: str, field: str, token: str, reader: Reader) -> str:
    """A token in words where it has any; anything else as it is."""
    words = _TOKENS.get(f"{listing} {field}") or _TOKENS.get(field)
    return words(token, reader) if words and token else token
