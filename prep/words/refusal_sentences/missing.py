"""What there is not, or what this person may not see."""

from typing import Final

from django.utils.translation import gettext_noop as _

SENTENCES: Final[dict[str, str]] = {
    "no-such-device": _("There is no such device at your yards. Look at the list of devices."),
    "no-such-keeper": _("This address gets no checkpoints from this yard. Reload the page."),
    "no-such-buyer": _("There is no such buyer. Look the buyer up again, or add a new one."),
    "no-such-checkpoint": _("No checkpoint was signed over {size} entries. Choose another size."),
    "never-remade": _("The file of this document was never made again."),
    "no-such-document": _("There is no such document here. Look at the list of documents again."),
    "no-such-event": _("There is no such event. Check its id."),
    "no-such-file": _("{path} cannot be read ({cause}). Check the path."),
    "no-such-flag": _("There is no such flag on this unit. Refresh the page."),
    "no-such-guest": _("There is no such guest at your yards. Look at the list of guests."),
    "no-such-instrument": _("There is no tool “{instrument}” here. Read the code on its label."),
    "no-such-photo": _("There is no such photo of this unit. Look at its sheet again."),
    "no-such-line": _("{step_title} has no line “{line}”. Check the code of the line."),
    "no-manufacturers": _(
        "The list of manufacturers is empty, so “{wanted}” is not in it. Add it to the list first."
    ),
    "no-such-manufacturer": _(
        "“{wanted}” is not in the list of manufacturers. Choose {closest}; a new manufacturer has "
        "to be added to the list first."
    ),
    "no-such-manufacturer-id": _(
        "There is no such manufacturer. Choose one from the list of manufacturers."
    ),
    "no-such-model": _("There is no model “{wanted}”. Check the code, or publish the model first."),
    "no-such-moment": _(
        "This unit was not here at “{typed}”, or that is not a valid date and time. Below is the "
        "unit as it is now."
    ),
    "no-such-person": _("There is no user “{username}”. Add them first."),
    "no-such-procedure": _(
        "Procedure {procedure} has no revision {revision} in force. Check the number."
    ),
    "no-such-refused": _("There is no such entry here. Look at the list again."),
    "no-such-registration": _("This unit has no such registration. Create the document first."),
    "no-such-release": _("This unit has no such release to certify. Release it first."),
    "no-such-shortage": _("There is no such missing part on this unit. Refresh the page."),
    "no-such-site": _("There is no such yard, or you do not work there. Choose one of yours."),
    "no-such-step": _("The sheet has no step “{step}”. Check the code of the step."),
    "no-such-tractor": _(
        "There is no tractor “{wanted}”. Check the code, or publish the tractor first."
    ),
    "no-such-unit": _("There is no such unit at your yards. Look it up again."),
    "no-such-units-then": _(
        "At {known_at} there was no unit {units} at your yards. Leave it out, or choose a later "
        "moment."
    ),
    "no-such-wording": _("The log keeps no words under this digest. Check the digest."),
    "not-here-then": _("This unit had not been received by then. Choose a later moment."),
    "not-published": _("This procedure revision is not published. Publish it first."),
    "not-sealed": _("The log has not been sealed yet. Try again in a moment."),
    "not-under-checkpoint": _("This event is newer than that checkpoint. Choose a newer one."),
}
