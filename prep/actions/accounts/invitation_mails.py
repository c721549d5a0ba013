"""Which invitation links are still to be mailed, and by whom."""

from datetime import datetime

from django.utils import timezone

from prep.models import Invitation


def claim_mail(invitation: Invitation, *, until: datetime) -> bool:
    """Whether this worker may mail a link; another one may try again after `until`."""
    mine = Invitation.objects.filter(pk=invitation.pk, mail_after=invitation.mail_after)
    return mine.update(mail_after=until) == 1


def mail_sent(invitation: Invitation, claimed: datetime) -> None:
    """A link was mailed: nobody need do it again."""
    mine = Invitation.objects.filter(pk=invitation.pk, mail_after=claimed)
    mine.update(mail_after=None, mail_failing=None)


def mail_failed(invitation: Invitation) -> None:
    """A link could not be mailed: its person's page says since when, to administrators."""
    failing = Invitation.objects.filter(pk=invitation.pk, mail_failing=None)
    failing.update(mail_failing=timezone.now())
