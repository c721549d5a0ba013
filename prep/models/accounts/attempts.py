"""Attempts at passwords and PINs, and where somebody gave their password."""

from django.db import models

from prep.models.fields import Line
from prep.models.people import Person


class Attempt(models.Model):
    """How many attempts were used up under a key since `began`, and until when the next one waits.

    The key is a keyed digest of purpose and person, device or address: whatever was typed for a
    name, and whence, is not kept.
    """

    key = Line(max_length=64, primary_key=True)
    used = models.PositiveIntegerField()
    began = models.DateTimeField(db_index=True)
    until = models.DateTimeField(null=True)

    def __str__(self) -> str:
        return f"{self.used} since {self.began}"


class PasswordGiven(models.Model):
    """That a person gave their password at a place: on a device of the yard, or from an address.

    `place` is the device's id, or a keyed digest of the address. `password` is the fingerprint of
    the hash as it was then: one that was changed since was not given here.
    """

    person = models.ForeignKey(Person, models.CASCADE, related_name="passwords_given")
    place = Line(max_length=64)
    password = Line(max_length=80)
    at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["place", "person"], name="password_given_once")
        ]

    def __str__(self) -> str:
        return f"{self.person}: {self.at}"
