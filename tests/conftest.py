"""What every test has: a fast hasher, and the cast on request."""

from collections.abc import Iterator

import pytest
from django.db import connection
from django.test import TransactionTestCase

from prep.models import guards
from tests.cast import Yard, make_yard


@pytest.fixture(autouse=True)
def _fast_hasher(settings: object) -> None:
    """Argon2 is slow on purpose; tests sign a lot."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]  # type: ignore[attr-defined]


@pytest.fixture(autouse=True, scope="session")
def _emptying_lifts_the_guards() -> Iterator[None]:
    """A test that commits empties its tables afterwards; only then are the triggers off."""
    patch = pytest.MonkeyPatch()
    empty = TransactionTestCase._fixture_teardown

    def emptied(self: TransactionTestCase) -> None:
        guards.remove(connection)
        try:
            empty(self)
        finally:
            guards.install(connection)

    patch.setattr(TransactionTestCase, "_fixture_teardown", emptied)
    yield
    patch.undo()


@pytest.fixture
def yard(db: None) -> Yard:
    """One yard with its people."""
    return make_yard()
