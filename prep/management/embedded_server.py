"""The web server of the embedded profile: one process with a document runner, no other server."""

import logging
import threading
from collections.abc import Iterator
from contextlib import contextmanager

from django.core.handlers.wsgi import WSGIHandler
from django.core.wsgi import get_wsgi_application
from django.db import connections

from prep.management.bounded_server import BoundedServer, Limits
from reports import queue


def application() -> WSGIHandler:
    """The WSGI application of the service."""
    return get_wsgi_application()


def serve(host: str, port: int) -> None:
    """Serve until interrupted; documents are made in another thread."""
    # It warns of every request that waits for a thread: a line each time fifty people use it.
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)
    queue.start()
    try:
        BoundedServer(application(), host=host, port=port).run()
    finally:
        queue.stop()


@contextmanager
def background_server(host: str = "127.0.0.1", port: int = 0) -> Iterator[str]:
    """Serve in a thread for the length of a `with` block; yields the address."""
    server = BoundedServer(application(), host=host, port=port, limits=Limits(threads=4))
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
