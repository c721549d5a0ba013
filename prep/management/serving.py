"""The embedded web server: one process, one runner for documents, no other server."""

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import waitress
from django.core.handlers.wsgi import WSGIHandler
from django.core.wsgi import get_wsgi_application
from django.db import connections
from waitress.server import create_server

from reports import queue

THREADS = 8


def application() -> WSGIHandler:
    """The service as one WSGI application."""
    return get_wsgi_application()


def serve(host: str, port: int) -> None:
    """Serve until interrupted, making documents in a thread beside."""
    queue.start()
    try:
        waitress.serve(application(), host=host, port=port, threads=THREADS, ident="yardproof")
    finally:
        queue.stop()


@contextmanager
def served_beside(host: str = "127.0.0.1", port: int = 0) -> Iterator[str]:
    """Serve in a thread while something else runs; yields the address."""
    server: Any = create_server(application(), host=host, port=port, threads=4, ident="yardproof")
    thread = threading.Thread(target=server.run, name="web", daemon=True)
    queue.start()
    thread.start()
    try:
        yield f"http://{host}:{server.effective_port}"
    finally:
        server.close()
        thread.join(5)
        queue.stop()
        connections.close_all()
