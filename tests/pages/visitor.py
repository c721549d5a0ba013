"""Looking at pages and sending their forms, without a browser."""

from collections.abc import Callable
from typing import Any
from uuid import UUID, uuid4

from django.test import Client

from prep.models import Person
from tests.cast import PASSWORD

Enter = Callable[[Person], Client]


def signed_in(person: Person) -> Client:
    """A client in which somebody is signed in."""
    client = Client()
    assert client.login(username=person.username, password=PASSWORD)
    return client


def step_path(unit: UUID, step: str) -> str:
    """Address of a step's page."""
    return f"/units/{unit}/steps/{step}/"


def post(client: Client, path: str, status: int = 302, **fields: Any) -> str:
    """Send a form; the page that comes back, if one does."""
    fields.setdefault("command", str(uuid4()))
    answer = client.post(path, fields)
    assert answer.status_code == status, answer.content.decode()[-800:]
    return answer.content.decode()
