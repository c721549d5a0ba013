"""Sessions of browsers in which somebody is signed in."""

from django.contrib.sessions.base_session import AbstractBaseSession
from django.db import models

from prep.models.people import Person


class Session(AbstractBaseSession):
    """A session, with whose it is and on which of the yard's devices, so that it can be ended.

    Django's own table keeps neither: to end somebody's sessions, all there are would have to be
    read.
    """

    person = models.ForeignKey(Person, models.CASCADE, null=True, related_name="sessions")
    device = models.UUIDField(null=True, db_index=True)

    class Meta(AbstractBaseSession.Meta):
        abstract = False
        verbose_name = "session"
        verbose_name_plural = "sessions"
