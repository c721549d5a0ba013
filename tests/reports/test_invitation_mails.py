"""Invitation links by mail: to the one they are for, in their language, once."""

from typing import Any

import pytest
from django.core import mail
from django.core.mail.backends.locmem import EmailBackend

from prep.models import Invitation
from reports import invitation_mail
from reports.queue import FINDERS
from tests.actions.people.cast import invite, join, secret_of
from tests.cast import Yard
from tests.pages.visitor import signed_in

pytestmark = pytest.mark.django_db
ADDRESS = "jo@invented.example"


def test_a_link_is_mailed_once_in_the_language_of_whoever_it_is_for(yard: Yard) -> None:
    """The sweep finds it; the one after sends nothing."""
    assert invitation_mail.send_due in FINDERS
    _, opener = invite(yard, email=ADDRESS, language="fr")
    invite(yard, "pat")  # no address, no mail
    assert mail.outbox == []
    invitation_mail.send_due()
    invitation_mail.send_due()
    [sent] = mail.outbox
    assert sent.to == [ADDRESS]
    assert opener.link in sent.body
    assert str(Invitation.objects.get(person__username="jo").pk) in sent.extra_headers["Message-ID"]
    assert join(secret_of(opener)).email == ADDRESS


def test_a_mail_server_that_is_away_loses_no_link(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is tried again when its time has come, and by one worker at a time."""
    invite(yard, email=ADDRESS)

    def away(self: EmailBackend, messages: Any) -> int:
        raise ConnectionRefusedError

    with monkeypatch.context() as patch:
        patch.setattr(EmailBackend, "send_messages", away)
        invitation_mail.send_due()
    invitation_mail.send_due()  # its next time has not come
    assert mail.outbox == []
    due = Invitation.objects.get()
    assert due.mail_after is not None
    page = f"/people/{due.person_id}/"
    failing = "The mail with this link has not gone out"
    assert failing in signed_in(yard.otto).get(page).content.decode()
    assert failing not in signed_in(yard.mira).get(page).content.decode()
    Invitation.objects.update(mail_after=due.mail_after - invitation_mail.AGAIN)
    invitation_mail.send_due()
    assert len(mail.outbox) == 1
    assert failing not in signed_in(yard.otto).get(page).content.decode()


def test_a_link_that_was_used_or_withdrawn_is_not_mailed_any_more(yard: Yard) -> None:
    """It would open nothing."""
    _, opener = invite(yard, email=ADDRESS)
    join(opener.code)
    invitation_mail.send_due()
    assert mail.outbox == []


def test_the_mail_says_until_when_by_the_yards_clock(yard: Yard) -> None:
    """In UTC only where somebody works in several zones."""
    invite(yard, email=ADDRESS)
    invitation_mail.send_due()
    [sent] = mail.outbox
    assert "(CST, UTC−06:00)" in sent.body or "(CDT, UTC−05:00)" in sent.body
