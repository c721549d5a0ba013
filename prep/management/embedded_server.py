"""The web server of the embedded profile: one process with a document runner, no other server."""

import logging
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
    """The WSGI application of the service."""
    return get_wsgi_application()


def serve(host: str, port: int) -> None:
    """Serve until interrupted; documents are made in another thread."""
    # It warns of every request that waits for a thread: a line each time fifty people use it.
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)
    queue.start()
    try:
        waitress.serve(application(), host=host, port=port, threads=THREADS, ident="yardproof")
    finally:
        queue.stop()


@contextmanager
def background_server(host: str = "127.0.0.1", port: int = 0) -> Iterator[str]:
    """Serve in a thread for the length of a `with` block; yields the address."""
    server: Any = create_server(application(), host=host, port=port, threads=4, ident="yardproof")
    thread = threading.Thread(target=server.run, name="web", daemon=True)
    queue.start()
    thread.start()
    try:
        yield f"http://{host}:{server.effective_port}"
    finally:
        server.task_dispatcher.shutdown()  # a thread still answering writes to what closes next
        server.close()
        thread.join(5)
        queue.stop()
        connections.close_all()
