"""Tablets of a yard, invented."""

from uuid import UUID, uuid4

from django.test import Client

from prep.actions.accounts.devices import digest_of
from prep.actions.perform import perform
from prep.actions.submission import Submission
from prep.models import Person
from prep.record.device.commands import EnrollDevice

KEY = "an invented key of a tablet, 32 bytes or more"


def tablet(who: Person, site: str, name: str = "Tablet 2", key: str = KEY) -> UUID:
    """The id of a tablet that somebody enrolls."""
    command = EnrollDevice(site=site, name=name, key_digest=digest_of(key))
    return UUID(perform(command, actor=who, submission=Submission(id=uuid4())).target)


def browser_of(device: UUID, key: str = KEY) -> Client:
    """The browser of a tablet."""
    client = Client()
    client.cookies["yardproof-device"] = f"{device}.{key}"
    return client
