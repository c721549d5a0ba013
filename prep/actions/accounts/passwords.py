"""Passwords: what one may be."""

from django.contrib.auth.hashers import make_password
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError

from prep.models import Person
from prep.record.refusal import Refusal


def hashed(password: str, person: Person) -> str:
    """The hash of a password for somebody; Refusal of one that is easy to guess."""
    try:
        validate_password(password, person)
    except ValidationError as wrong:
        if wrong.error_list[0].code == "password_too_short":
            raise Refusal("password-too-short", field="password") from wrong
        raise Refusal("password-common", field="password") from wrong
    return make_password(password)
