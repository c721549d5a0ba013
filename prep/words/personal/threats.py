"""What could happen to the record and to people's data, and what the service does about it.

For whoever buys, runs or audits the service. Which test holds each answer stands in DEVELOPERS.md.
"""

from dataclasses import dataclass
from typing import Final

from django.utils.translation import gettext_noop as _


@dataclass(frozen=True)
class Threat:
    """A threat, by a stable name: what might happen, what answers it, what stays open."""

    name: str
    threat: str
    answer: str
    open: str = ""


THREATS: Final = (
    Threat(
        "rewritten",
        _("Somebody rewrites what was read, signed or released."),
        _(
            "Events are only ever added, and a signed tree holds them all. Verification names "
            "whatever was changed, in the record and in every bundle and certificate handed out."
        ),
        _(
            "Whoever holds the signing key can write the whole log anew. Only a checkpoint kept "
            "outside shows it: have one mailed to somebody who does not work with the service."
        ),
    ),
    Threat(
        "other-yard",
        _("Somebody of one yard reads or takes what another yard has."),
        _(
            "The yard on record decides, never what a request says. For everybody else the thing "
            "does not exist. A tool moves only by somebody who keeps the tools of both yards."
        ),
        _(
            "A verification covers the whole service, so its report names machines of every yard. "
            "That a tool's code is taken shows to whoever registers one."
        ),
    ),
    Threat(
        "curious",
        _("Somebody looks at buyers' names and addresses without need."),
        _(
            "One rule says who may: technicians see no buyer, and no document that names one. Each "
            "request that shows any is noted before it is answered, and nobody can change the "
            "note; administrators and auditors read who looked."
        ),
        _(
            "Sales finds units by a buyer's name, which is not noted. What somebody does with a "
            "page once it is shown, nobody sees."
        ),
    ),
    Threat(
        "kept-too-long",
        _("A buyer's data are kept after the buyer asked for their erasure."),
        _(
            "An administrator erases them with reason and PIN: details, recipients' names, photos "
            "that show people, files of documents that hold any of it. Every proof stays whole. A "
            "legal hold stops it."
        ),
        _(
            "Backups taken before still hold the data: delete them in time, and after a restore "
            "run “manage.py erase_again”. Documents handed out are out of reach. What people typed "
            "into free text stays: do not write names there."
        ),
    ),
    Threat(
        "visitor",
        _("A visitor from outside sees more than was meant, or for longer."),
        _(
            "A guest has no account, sees named units only, for at most 30 days, and nothing that "
            "names a buyer. The link works once. Everything that is opened is noted."
        ),
        _("Whoever gets the link before the guest uses it is taken for the guest."),
    ),
    Threat(
        "shared-tablet",
        _("The next person at a shared tablet finds what the one before looked at."),
        _(
            "No page stays in the browser, and pages may use neither camera, microphone nor "
            "location. Each signature asks for the PIN of whoever signs."
        ),
        _("Whoever leaves a tablet signed in lends out everything but the PIN."),
    ),
    Threat(
        "guessing",
        _("Somebody guesses passwords or PINs."),
        _(
            "Each attempt is counted before it is judged, whatever server it meets, and waiting "
            "grows with it."
        ),
        _("Whoever reads a PIN over a shoulder has it. Change it when in doubt."),
    ),
    Threat(
        "planted",
        _("A file that is sent in carries something else than it says."),
        _(
            "Pictures are drawn anew, spreadsheets and procedures are read within narrow bounds, "
            "and no text that somebody typed can run in a page."
        ),
    ),
    Threat(
        "stolen-disk",
        _("Somebody takes the disk, or a backup of it."),
        _(
            "Only the service's own user may read its files. Passwords and PINs are kept as slow "
            "hashes, and the log holds no personal data of buyers."
        ),
        _(
            "Nothing is encrypted on the disk by the service itself. Encrypt the disk and the "
            "backups. Whoever has the service's keys can sign as it does."
        ),
    ),
    Threat(
        "administrator",
        _("Somebody with the administrator's role, or the machine's own, misuses it."),
        _(
            "Roles, erasures, holds and readings of personal data are on record under a name, and "
            "nothing on record can be taken back."
        ),
        _(
            "Whoever runs the machine can read everything and stop the service. A checkpoint kept "
            "outside, and an auditor who looks, are the answer to that."
        ),
    ),
)
