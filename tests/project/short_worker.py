"""A worker with short limits, and something for it to serve; run by `test_web_worker`."""

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from prep.project.web_worker import BoundedWorker

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse


class ShortWorker(BoundedWorker):
    """Limits that a test can wait for."""

    header = 0.3
    body = 0.6
    silence = 0.4


def application(environ: dict[str, Any], start_response: "StartResponse") -> Iterable[bytes]:
    """Says how many bytes the body had; at /large, forty megabytes."""
    body = environ["wsgi.input"].read(int(environ.get("CONTENT_LENGTH") or 0))
    start_response("200 OK", [("Content-Type", "text/plain")])
    if environ["PATH_INFO"] == "/large":
        return (b"x" * 65_536 for _ in range(640))
    return [f"{len(body)} bytes".encode()]
