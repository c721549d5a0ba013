"""What every test has: a fast hasher, and the cast on request."""

import os
from collections.abc import Iterator
from typing import Any
from uuid import uuid4

import pytest
from django.conf import settings as project_settings
from django.core.cache import cache
from django.db import connection
from django.test import TransactionTestCase, override_settings
from hypothesis import HealthCheck
from hypothesis import settings as hypothesis_settings
from playwright.sync_api import Browser, sync_playwright

from prep.models import triggers
from tests.cast import Yard, make_yard
from tests.kept_yard import KeptYard
from tests.pages.browser import CHROMIUM, FLAGS
from tests.suites import ABSENT

FAST_HASHERS = [
    "django.contrib.auth.hashers.MD5PasswordHasher",
    "prep.actions.pin_hasher.PinHasher",
]

# A loaded machine draws examples slowly; that says nothing about the code under test.
hypothesis_settings.register_profile(
    "loaded machine", deadline=None, suppress_health_check=[HealthCheck.too_slow], print_blob=True
)
hypothesis_settings.load_profile("loaded machine")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Skip, with the reason, what needs a server this run does not have.

    What is about SQLite alone is no test of the service profile at all.
    """
    service = project_settings.SERVICE
    about_sqlite = [item for item in items if service and item.get_closest_marker("sqlite")]
    if about_sqlite:
        items[:] = [item for item in items if item not in about_sqlite]
        config.hook.pytest_deselected(items=about_sqlite)
    skip = pytest.mark.skip(reason="needs the service profile: PostgreSQL and Redis")
    for item in items:
        needs = {mark.name for mark in item.iter_markers()} & {"postgres", "redis"}
        if needs and not service:
            item.add_marker(skip)


def pytest_sessionfinish(session: pytest.Session) -> None:
    """Where everything is required (continuous integration), a skipped test is a failure; but for
    public test data, which a clone of the project alone does not have."""
    if os.environ.get("YARDPROOF_SKIP_NOTHING") != "yes":
        return
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    skipped = reporter.stats.get("skipped", []) if reporter is not None else []
    if not all(ABSENT in str(report.longrepr) for report in skipped):
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


def pytest_terminal_summary(
    terminalreporter: pytest.TerminalReporter, config: pytest.Config
) -> None:
    """Say in which order the tests ran, so that it can be had again."""
    seed = config.getoption("randomly_seed", default=None)
    terminalreporter.write_line(f"order of the tests: -p randomly --randomly-seed={seed}")


@pytest.fixture(autouse=True)
def _fast_hasher(settings: object) -> None:
    """Passwords are hashed slowly on purpose; tests sign in a lot. PINs keep their own hasher."""
    settings.PASSWORD_HASHERS = FAST_HASHERS  # type: ignore[attr-defined]  # pytest-django's wrapper


@pytest.fixture(autouse=True)
def _own_files(settings: object, tmp_path_factory: pytest.TempPathFactory) -> None:
    """What one test stores is not there for the next, which may look for what belongs to nobody."""
    own = tmp_path_factory.getbasetemp() / f"files-{uuid4()}"  # made by whoever stores the first
    settings.MEDIA_ROOT = own  # type: ignore[attr-defined]  # pytest-django's wrapper


@pytest.fixture(autouse=True)
def _fresh_counters() -> Iterator[None]:
    """Requests of one test do not count against the next one."""
    cache.clear()
    yield
    cache.clear()


@pytest.fixture(autouse=True, scope="session")
def _emptying_lifts_the_guards() -> Iterator[None]:
    """A test that commits empties its tables afterwards; only then are the triggers off."""
    patch = pytest.MonkeyPatch()
    name = "_fixture_teardown"  # Django's own, not in its published types
    empty = getattr(TransactionTestCase, name)

    def emptied(self: TransactionTestCase) -> None:
        triggers.remove(connection)
        try:
            empty(self)
        finally:
            triggers.install(connection)

    patch.setattr(TransactionTestCase, name, emptied)
    yield
    patch.undo()


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup: None, django_db_blocker: Any) -> Iterator[None]:
    """The test database; what else is still connected to it at the end is cut off.

    The browser's loop gives its tests a connection of their own, and PostgreSQL deletes no database
    that another connection is open to.
    """
    yield
    if connection.vendor == "postgresql":
        with django_db_blocker.unblock(), connection.cursor() as cursor:
            cursor.execute(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
                " WHERE datname = current_database() AND pid <> pg_backend_pid()"
            )


@pytest.fixture(scope="session")
def _kept_yard(django_db_setup: None, django_db_blocker: Any) -> KeptYard:
    """The yard that every test begins with."""
    with django_db_blocker.unblock(), override_settings(PASSWORD_HASHERS=FAST_HASHERS):
        return KeptYard.of(make_yard)


@pytest.fixture
def yard(_kept_yard: KeptYard, db: None) -> Yard:
    """One yard with its people."""
    return _kept_yard.put_back()


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """One Chromium for all tests of a process: two cannot be driven from one thread."""
    with pytest.MonkeyPatch.context() as patch:
        # Playwright runs a loop in this thread; the tests ask the database between its calls.
        patch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "true")
        with sync_playwright() as playwright:
            opened = playwright.chromium.launch(executable_path=str(CHROMIUM), args=FLAGS)
            yield opened
            opened.close()
