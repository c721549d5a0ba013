"""A small client of the REST API, as an integrator would write one."""

import json
from dataclasses import dataclass
from typing import Any
from urllib.error import HTTPError
from urllib.request import Request, urlopen
from uuid import UUID, uuid4


@dataclass(frozen=True)
class Answer:
    """An answer of the API: status, body, and entity tag of the unit it is about."""

    status: int
    body: Any
    tag: str

    @property
    def ok(self) -> bool:
        """Whether the command was carried out."""
        return self.status < 400


class Client:
    """API client of one person, who is signed in on construction."""

    def __init__(self, address: str, username: str, password: str) -> None:
        self.base = f"{address}/api/v1/"
        self.token = ""
        signed_in = self.post("sign-in", {"username": username, "password": password})
        self.token = signed_in.body["token"]

    def get(self, path: str) -> Answer:
        """Send a GET."""
        return self._send(Request(self.base + path))

    def post(
        self,
        path: str,
        body: dict[str, Any] | bytes,
        *,
        key: UUID | None = None,
        tag: str = "",
        media_type: str = "image/png",
    ) -> Answer:
        """Send a command, or a file of a media type; sent twice with one key it counts once."""
        file = isinstance(body, bytes)
        data = body if isinstance(body, bytes) else json.dumps(body).encode()
        request = Request(self.base + path, data=data, method="POST")
        request.add_header("Content-Type", media_type if file else "application/json")
        request.add_header("Idempotency-Key", f'"{key or uuid4()}"')
        request.add_header("Device-Name", "demo")
        if tag:
            request.add_header("If-Match", tag)
        return self._send(request)

    def _send(self, request: Request) -> Answer:
        if self.token:
            request.add_header("Authorization", f"Token {self.token}")
        try:
            with urlopen(request, timeout=60) as answer:
                return Answer(
                    answer.status,
                    json.loads(answer.read() or b"null"),
                    answer.headers.get("ETag", ""),
                )
        except HTTPError as no:
            return Answer(no.code, json.loads(no.read() or b"null"), "")
