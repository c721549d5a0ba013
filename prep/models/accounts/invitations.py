"""Links and codes that open an account once, beside the log."""

from django.db import models

from prep.models.fields import Line
from prep.models.people import Person
from prep.record.person.state import Opens


class Invitation(models.Model):
    """A link and a code that open an account once. Only digests of both are kept.

    `mail_after` is when the link may be mailed next; None where it need not be. `mail_failing` is
    since when no attempt to mail it went well.
    """

    id = models.UUIDField(primary_key=True)
    person = models.ForeignKey(Person, models.PROTECT, related_name="invitations")
    purpose = Line(max_length=10)
    expires = models.DateTimeField()
    link = Line(max_length=64, unique=True)
    code = Line(max_length=64, unique=True)
    state = Line(max_length=10, default=Opens.OPEN.value)
    mail_after = models.DateTimeField(null=True)
    mail_failing = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["person"],
                condition=models.Q(state=Opens.OPEN.value),
                name="invitation_one_open",
            )
        ]
        indexes = [
            models.Index(
                fields=["mail_after"],
                condition=models.Q(mail_after__isnull=False),
                name="invitation_to_mail",
            )
        ]

    def __str__(self) -> str:
        return f"{self.person}: {self.state}"
