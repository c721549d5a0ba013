"""API test client that checks each answer against the published schema."""

import functools
import gzip
import json
import re
from dataclasses import dataclass
from typing import Any
from uuid import UUID, uuid4

from django.test import Client
from drf_spectacular.generators import SchemaGenerator
from jsonschema import Draft202012Validator

from prep.actions.accounts.tokens import sign_in
from prep.models import Person
from tests.cast import Yard

ROOT = "/api/v1/"


@functools.cache
def schema() -> dict[str, Any]:
    """The published schema, closed: a member that it does not name fails the test."""
    generator: Any = SchemaGenerator()  # type: ignore[no-untyped-call]  # untyped library
    published: dict[str, Any] = json.loads(
        json.dumps(generator.get_schema(request=None, public=True))
    )
    for name, component in published["components"]["schemas"].items():
        if name != "Problem" and "properties" in component:
            component.setdefault("additionalProperties", False)
    return published


@dataclass(frozen=True)
class Answer:
    """Status, headers and decoded body of a response."""

    status: int
    headers: dict[str, str]
    body: Any
    content: bytes

    @property
    def etag(self) -> str:
        """The entity tag."""
        return self.headers["ETag"]

    @property
    def code(self) -> str:
        """The stable code of a problem."""
        return str(self.body["type"]).removeprefix("urn:yardproof:problem:")


class Api:
    """Sends requests as a person; as Ada where none is named."""

    def __init__(self, yard: Yard) -> None:
        self.yard = yard
        self.client = Client(raise_request_exception=False)
        self.tokens: dict[int, str] = {}

    def get(self, path: str, actor: Person | None = None, **headers: str) -> Answer:
        """Send a GET request."""
        return self.send("GET", path, actor, headers=headers)

    def post(
        self,
        path: str,
        body: Any = None,
        actor: Person | None = None,
        *,
        key: UUID | str | None = None,
        **headers: str,
    ) -> Answer:
        """Send a command, with a new idempotency key where none is given."""
        chosen = str(key if key is not None else uuid4())
        return self.send(
            "POST", path, actor, headers={"Idempotency-Key": chosen, **headers}, body=body
        )

    def delete(self, path: str, actor: Person | None = None) -> Answer:
        """Send a DELETE request."""
        return self.send("DELETE", path, actor, headers={})

    def send(
        self,
        method: str,
        path: str,
        actor: Person | None = None,
        *,
        headers: dict[str, str],
        body: Any = None,
        content: bytes | None = None,
        content_type: str = "application/json",
        anonymous: bool = False,
    ) -> Answer:
        """Send a request and check the answer against the schema."""
        if not anonymous:
            headers = {"Authorization": f"Token {self.token(actor or self.yard.ada)}", **headers}
        data = content if content is not None else b"" if body is None else json.dumps(body)
        response = self.client.generic(
            method,
            path if path.startswith(ROOT) else ROOT + path,
            data,
            content_type=content_type,
            headers={name.replace("_", "-"): value for name, value in headers.items()},
        )
        raw = response.getvalue()
        if response.headers.get("Content-Encoding") == "gzip":
            raw = gzip.decompress(raw)
        kind = response.headers.get("Content-Type", "")
        decoded = json.loads(raw) if kind.endswith("json") and raw else None
        answer = Answer(response.status_code, dict(response.headers), decoded, raw)
        _hold_to_schema(response, method, answer, kind)
        return answer

    def token(self, person: Person) -> str:
        """A token of a person."""
        if person.pk not in self.tokens:
            self.tokens[person.pk] = sign_in(person).text
        return self.tokens[person.pk]


def _hold_to_schema(response: Any, method: str, answer: Answer, kind: str) -> None:
    route = response.resolver_match.route if response.resolver_match else ""
    template = "/" + re.sub(r"<\w+:(\w+)>", r"{\1}", route)
    operation = schema()["paths"].get(template, {}).get(method.lower())
    if operation is None:
        assert answer.status in {404, 405}
        return
    documented = operation["responses"]
    assert str(answer.status) in documented, f"{answer.status} is not documented"
    content = documented[str(answer.status)].get("content", {})
    if not content:
        assert not answer.content
        return
    if "*/*" in content and answer.status == 200:
        return
    assert kind in content, f"{kind} is not documented"
    if not kind.endswith("json"):
        return  # a file
    validator = Draft202012Validator(
        {**content[kind]["schema"], "components": schema()["components"]}
    )
    errors = [f"{error.json_path}: {error.message}" for error in validator.iter_errors(answer.body)]
    assert errors == []
