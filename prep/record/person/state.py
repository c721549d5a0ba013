"""A person's account as its events leave it."""

from collections.abc import Callable, Iterable, Mapping
from enum import StrEnum
from typing import Any, Final

import msgspec
from msgspec.structs import replace

from prep.record.log.reference_event import ReferenceEvent
from prep.record.person import events as e


class Status(StrEnum):
    """Whether somebody can sign in, and if not, why not. `none` is before the first event."""

    NONE = "none"
    INVITED = "invited"
    ACTIVE = "active"
    SUSPENDED = "suspended"
    LEFT = "left"


class Opens(StrEnum):
    """What became of an invitation; whether an open one has expired is told by its moment."""

    OPEN = "open"
    USED = "used"
    WITHDRAWN = "withdrawn"
    REPLACED = "replaced"


class Invited(msgspec.Struct, frozen=True):
    """An invitation, and what became of it."""

    invitation: e.Invitation
    state: Opens


class Card(msgspec.Struct, frozen=True):
    """A training card, and whether it was withdrawn."""

    recorded: e.CardRecorded
    withdrawn: bool = False


class PersonState(msgspec.Struct, frozen=True):
    """An account: whose it is, whether it opens, its preferences, fingerprints, cards."""

    status: Status = Status.NONE
    username: str = ""
    name: str = ""
    language: str = ""
    units: str = ""
    numbers: str = ""
    contact: str = ""
    password: str = ""
    pin: str = ""
    last_day: str = ""
    system_at: str = ""
    invitations: Mapping[str, Invited] = msgspec.field(default_factory=dict)
    cards: Mapping[str, Card] = msgspec.field(default_factory=dict)

    @property
    def joined(self) -> bool:
        """Whether a password was ever chosen."""
        return bool(self.password)

    @property
    def open_invitation(self) -> Invited | None:
        """The one invitation that was neither used nor withdrawn; it may have expired."""
        return next((one for one in self.invitations.values() if one.state is Opens.OPEN), None)


NOBODY: Final = PersonState()


def fold(events: Iterable[Any]) -> PersonState:
    """The account after these events."""
    state = NOBODY
    for event in events:
        state = after(state, event)
    return state


def after(state: PersonState, event: ReferenceEvent) -> PersonState:
    """The account after one more event."""
    return _AFTER[type(event)](state, event)


def _enrolled(state: PersonState, event: e.PersonEnrolled) -> PersonState:
    return PersonState(status=Status.ACTIVE, **_plain(event))


def _system(state: PersonState, event: e.SystemEnrolled) -> PersonState:
    return PersonState(status=Status.ACTIVE, language="en", units="us", **_plain(event))


def _invited(state: PersonState, event: e.PersonInvited) -> PersonState:
    values = _plain(event)
    del values["invitation"]
    return _made(PersonState(status=Status.INVITED, **values), event)


def _renamed(state: PersonState, event: e.PersonRenamed) -> PersonState:
    return replace(state, username=event.username, name=event.name)


def _made(state: PersonState, event: e.PersonInvited | e.InvitationMade) -> PersonState:
    known = {
        key: replace(one, state=Opens.REPLACED) if one.state is Opens.OPEN else one
        for key, one in state.invitations.items()
    }
    made = Invited(event.invitation, Opens.OPEN)
    return replace(state, invitations={**known, event.invitation.id: made})


def _became(state: PersonState, invitation: str, opens: Opens) -> Mapping[str, Invited]:
    one = replace(state.invitations[invitation], state=opens)
    return {**state.invitations, invitation: one}


def _withdrawn(state: PersonState, event: e.InvitationWithdrawn) -> PersonState:
    return replace(state, invitations=_became(state, event.invitation, Opens.WITHDRAWN))


def _used(state: PersonState, event: e.InvitationUsed) -> PersonState:
    return replace(
        state,
        status=Status.ACTIVE,
        language=event.language,
        password=event.password,
        pin=event.pin,
        invitations=_became(state, event.invitation, Opens.USED),
    )


def _shut(state: PersonState, event: e.PersonSuspended | e.PersonLeft) -> PersonState:
    """Whoever is shut out has no open link either."""
    one = state.open_invitation
    kept = _became(state, one.invitation.id, Opens.WITHDRAWN) if one else state.invitations
    left = isinstance(event, e.PersonLeft)
    return replace(
        state,
        status=Status.LEFT if left else Status.SUSPENDED,
        last_day=event.last_day if isinstance(event, e.PersonLeft) else state.last_day,
        invitations=kept,
    )


def _restored(state: PersonState, event: e.PersonRestored) -> PersonState:
    opens = state.joined or state.system_at
    return replace(state, status=Status.ACTIVE if opens else Status.INVITED, last_day="")


def _card(state: PersonState, event: e.CardRecorded) -> PersonState:
    return replace(state, cards={**state.cards, event.card: Card(event)})


def _card_withdrawn(state: PersonState, event: e.CardWithdrawn) -> PersonState:
    card = replace(state.cards[event.card], withdrawn=True)
    return replace(state, cards={**state.cards, event.card: card})


def _changed(state: PersonState, event: ReferenceEvent) -> PersonState:
    """An event that says what some of the fields are from now on."""
    return replace(state, **_plain(event))


def _plain(event: ReferenceEvent) -> dict[str, Any]:
    return msgspec.structs.asdict(event)


_AFTER: Final[dict[type[ReferenceEvent], Callable[[PersonState, Any], PersonState]]] = {
    e.PersonEnrolled: _enrolled,
    e.SystemEnrolled: _system,
    e.PersonInvited: _invited,
    e.PersonRenamed: _renamed,
    e.InvitationMade: _made,
    e.InvitationWithdrawn: _withdrawn,
    e.InvitationUsed: _used,
    e.PasswordChanged: _changed,
    e.PinChanged: _changed,
    e.PreferencesChosen: _changed,
    e.ContactChanged: _changed,
    e.PersonSuspended: _shut,
    e.PersonRestored: _restored,
    e.PersonLeft: _shut,
    e.SignedOutEverywhere: lambda state, event: state,
    e.CardRecorded: _card,
    e.CardWithdrawn: _card_withdrawn,
}
