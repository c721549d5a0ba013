"""Mailing invitation links: found by the sweep, claimed by moving on when they may be tried next.

A worker that dies after it sent leaves the claim, and the mail goes out again with the same
Message-ID; a mail server that is away is tried again, as long as the link is open.
"""

import logging
from datetime import datetime, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.mail import EmailMessage
from django.db.models import QuerySet
from django.utils import timezone

from prep.actions.accounts.invitation_mails import claim_mail, mail_failed, mail_sent
from prep.actions.accounts.invitations import opener
from prep.models import Invitation, Site
from prep.queries.readers import reader_of
from prep.record.person.state import Opens
from prep.words.dates import moment
from prep.words.people.mail import invitation_subject, invitation_text

logger = logging.getLogger(__name__)
AGAIN: Final = timedelta(minutes=5)
AT_ONCE: Final = 20  # mails of one sweep; the next one takes the rest


def send_due() -> None:
    """Send the links that are due. One that fails is tried again in five minutes."""
    now = timezone.now()
    due = Invitation.objects.filter(
        mail_after__lte=now, state=Opens.OPEN.value, expires__gt=now
    ).select_related("person")
    for invitation in due.order_by("mail_after")[:AT_ONCE]:
        if claim_mail(invitation, until=now + AGAIN):
            _try(invitation, now + AGAIN)


def _try(invitation: Invitation, claimed: datetime) -> None:
    try:
        mail_of(invitation).send()
    except OSError:  # the mail server is away; SMTP errors are of this class, too
        logger.warning("an invitation could not be mailed; it is tried again", exc_info=True)
        mail_failed(invitation)
        return
    mail_sent(invitation, claimed)


def mail_of(invitation: Invitation) -> EmailMessage:
    """The mail with a link, in the language of whoever it is for."""
    person, opened = invitation.person, opener(invitation)
    reader = reader_of(person)
    sites = Site.objects.filter(memberships__person=person).order_by("code")
    dealer = sites.values_list("dealer", flat=True).first() or settings.LOG_NAME
    return EmailMessage(
        subject=invitation_subject(invitation.purpose, reader, dealer=dealer),
        body=invitation_text(
            invitation.purpose,
            reader,
            name=str(person),
            username=person.username,
            dealer=dealer,
            link=opened.link,
            expires=moment(_by_the_yards_clock(opened.expires, sites), reader),
        ),
        to=[person.email],
        headers={"Message-ID": f"<{invitation.pk}@{settings.LOG_NAME.partition('/')[0]}>"},
    )


def _by_the_yards_clock(at: datetime, sites: QuerySet[Site]) -> datetime:
    """A moment by the clock of the person's yards, or in UTC where those differ."""
    zones = set(sites.values_list("time_zone", flat=True))
    return at.astimezone(ZoneInfo(zones.pop())) if len(zones) == 1 else at
