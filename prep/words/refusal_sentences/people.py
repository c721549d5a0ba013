"""Who may do it, and whether they are who they say."""

from typing import Final

from django.utils.translation import gettext_noop as _

SENTENCES: Final[dict[str, str]] = {
    "instrument-of-another-yard": _(
        "Tool “{instrument}” is another yard's. Give yours another code, or have that one moved "
        "here by somebody who keeps the tools of both yards."
    ),
    "no-role-then": _(
        "Only {roles} may do this, and by the record you held no such role on {moment}. Enter it "
        "with the time it is now."
    ),
    "not-allowed": _("Only {roles} may do this. Have one of them sign in and do it."),
    "not-allowed-there": _(
        "Only {roles} at yard {site} may do this. Have one of them sign in and do it."
    ),
    "not-the-author": _(
        "{step_title} has entries that a tablet sent for {authors}. They must sign it, or "
        "{senders}, who sent them."
    ),
    "not-the-writer": _(
        "{step_title} was copied from a page written by {writers}. The person who did the work "
        "must sign with their own PIN."
    ),
    "not-your-document": _(
        "Only {roles}, or the person who asked for this document, may do this. Have one of them "
        "do it."
    ),
    "own-concession": _(
        "You made the entry this flag comes from. Have somebody else accept the item."
    ),
    "password-wrong": _("Wrong password. Type it again."),
    "too-many-attempts": _("Too many wrong tries. Wait {seconds}, then try again."),
    "sign-in-wrong": _("Wrong name or password. Check both and try again."),
    "switch-wrong": _("Wrong PIN. Type it again, or sign in with your password."),
    "not-on-this-device": _(
        "You cannot switch to this person here. Have them sign in with their password."
    ),
    "pin-wrong": _("Wrong PIN. Sign with your own PIN, or switch user."),
    "same-person": _(
        "You signed or entered something in this step. Have a second person check it."
    ),
    "scope-missing": _(
        "This token may not “{scope}”. Use one that may, or have one issued with that scope."
    ),
    "sign-in-needed": _(
        "No token of a program does this. Sign in with your name and password, and do it yourself."
    ),
    "system-cannot-sign": _(
        "A system account has no PIN and signs nothing. Have the person who did the work sign."
    ),
    "system-not-administrator": _(
        "A system account cannot be an administrator. Give it another role."
    ),
    "system-of-another-yard": _(
        "This system account belongs to another yard. Add one for this yard instead."
    ),
    "token-ended": _(
        "This token was revoked or ran out while this was being done. Nothing of it was recorded; "
        "send it again with another token."
    ),
    "service-only": _("Only the service itself does this. There is nothing for you to do."),
    "not-yours-to-settle": _(
        "Only a service manager, or whoever made or sent this entry, can settle it. Ask one of "
        "them."
    ),
}
