"""Which invitation links are still to be mailed, and by whom."""

from datetime import datetime

from prep.models import Invitation


def claim_mail(invitation: Invitation, *, until: datetime) -> bool:
    """Whether this worker may mail a link; another one may try again after `until`."""
    mine = Invitation.objects.filter(pk=invitation.pk, mail_after=invitation.mail_after)
    return mine.update(mail_after=until) == 1


def mail_sent(invitation: Invitation, claimed: datetime) -> None:
    """A link was mailed: nobody need do it again."""
    Invitation.objects.filter(pk=invitation.pk, mail_after=claimed).update(mail_after=None)
