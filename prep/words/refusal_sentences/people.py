"""Who may do it, whether they are who they say, and what becomes of accounts."""

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
    "device-unknown": _(
        "This device is not one of the yard's. Have an administrator or service manager enroll it."
    ),
    "device-unproved": _(
        "A device of the yard gives its key with its id. Send Device-Key, or another name."
    ),
    "device-revoked": _(
        "{name} was taken out of use. What waits on it stays there. Have an administrator or "
        "service manager enroll it again."
    ),
    "not-on-this-device": _(
        "You cannot switch to this person here. Have them sign in with their password."
    ),
    "pin-wrong": _("Wrong PIN. Sign with your own PIN, or switch user."),
    "same-person": _(
        "You signed or entered something in this step. Have a second person check it."
    ),
    "service-only": _("Only the service itself does this. There is nothing for you to do."),
    "not-yours-to-settle": _(
        "Only a service manager, or whoever made or sent this entry, can settle it. Ask one of "
        "them."
    ),
    "not-allowed-everywhere": _(
        "They also work at {sites}. Only {roles} of all their yards may do this, because it gives "
        "access there, too. Ask one who is, or whoever runs the service: “manage.py invite”."
    ),
    "own-only": _("People do this for themselves only, under “Your settings”."),
    "last-administrator": _(
        "{person} is the only active administrator of {yards}. Make somebody else an administrator "
        "there first."
    ),
    "role-held": _("{person} is {role} here already."),
    "role-not-held": _("{person} is not {role} here. Reload the page."),
    "person-left": _(
        "{person} left. If they are back, give them a role here and restore the account."
    ),
    "person-suspended": _("The account of {person} is suspended. Restore it first."),
    "person-not-shut": _("The account of {person} is open. There is nothing to restore."),
    "already-joined": _(
        "{person} has joined already. If they forgot password or PIN, reset those instead."
    ),
    "not-joined": _("{person} has not joined yet. Make a new invitation link instead."),
    "no-open-invitation": _("{person} has no open link. There is nothing to withdraw."),
    "no-such-invitation": _(
        "This link or code is not known here. Compare it with what you were given, or ask your "
        "administrator for a new one."
    ),
    "code-mistyped": _(
        "That cannot be a code from here: one character is wrong. Compare each with what you were "
        "given. A code has ten, and none of 0, 1, B, I, O, S, U, Z."
    ),
    "invitation-used": _(
        "This link was used already. If that was you, sign in. If not, tell your administrator at "
        "once."
    ),
    "invitation-withdrawn": _("This link was withdrawn. Ask your administrator for a new one."),
    "invitation-replaced": _(
        "A newer link was made for you. Use that one, or ask your administrator."
    ),
    "invitation-expired": _(
        "This link has expired: it was good for seven days. Ask your administrator for a new one."
    ),
    "not-the-same-password": _("The two passwords differ. Type the new one twice, the same."),
    "not-the-same-pin": _("The two PINs differ. Type the new one twice, the same."),
    "takes-effect-at-once": _(
        "This takes effect when it is entered and cannot be dated back. Send it without a time."
    ),
    "course-of-whom": _("Say which manufacturer's course it was."),
    "card-of-no-manufacturer": _(
        "Only a manufacturer's course has a manufacturer. Clear the field, or choose that kind."
    ),
    "card-withdrawn": _("This card was withdrawn already. Reload the page."),
    "no-such-card": _("This person has no such card. Reload the page."),
    "no-such-person-id": _("Nobody with this id works at a yard of yours."),
}
