"""A worker of gunicorn whose threads are not kept by slow clients.

Its threaded worker reads headers and bodies in the thread that answers, for as long as the client
likes: two dozen half-sent bodies would stop three workers of eight threads. Here the time in which
a thread waits for its client is counted, and a client that has used it up is cut off.
"""

import errno
import socket
import struct
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import Any, ClassVar

from gunicorn.workers.gthread import ThreadWorker


class BoundedWorker(ThreadWorker):  # type: ignore[misc]  # the library is untyped
    """Gunicorn's threaded worker with time limits, in seconds."""

    header: ClassVar[float] = 10
    body: ClassVar[float] = 300  # spent waiting for it: a picture over a poor signal
    silence: ClassVar[float] = 30  # without a byte of a body, or taking none of an answer

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._until: dict[Any, float] = {}  # connections that threads wait for

    def handle(self, conn: Any) -> Any:
        """Read a request within its limits, and answer it."""
        silence = struct.pack("ll", int(self.silence), int(self.silence % 1 * 1_000_000))
        for option in (socket.SO_RCVTIMEO, socket.SO_SNDTIMEO):
            conn.sock.setsockopt(socket.SOL_SOCKET, option, silence)
        with self.waiting_for(conn, self.header):
            return super().handle(conn)

    def handle_request(self, req: Any, conn: Any) -> Any:
        """Answer a request whose headers are read; from here only its body is waited for."""
        self._until.pop(conn, None)
        req.body.reader = _WatchedReader(req.body.reader, conn, self)
        return super().handle_request(req, conn)

    @contextmanager
    def waiting_for(self, conn: Any, seconds: float) -> Iterator[None]:
        """Cut the connection off if this takes longer."""
        self._until[conn] = time.monotonic() + seconds
        try:
            yield
        finally:
            self._until.pop(conn, None)

    def murder_pending(self) -> None:
        """Close what is overdue; gunicorn asks for it at least once a second."""
        super().murder_pending()
        now = time.monotonic()
        for conn, until in list(self._until.items()):
            if now > until:
                with suppress(OSError):  # it may have gone by itself meanwhile
                    conn.sock.shutdown(socket.SHUT_RDWR)


class _WatchedReader:
    """A body as it comes from the client, for whom only so much time is waited in all."""

    def __init__(self, reader: Any, conn: Any, worker: BoundedWorker) -> None:
        self._reader, self._conn, self._worker = reader, conn, worker
        self._left = worker.body
        self._missing = getattr(reader, "length", 0)  # 0 where a body tells its own end

    def read(self, size: int) -> bytes:
        """The next piece; OSError where the body ends before it should: half is not the whole."""
        begun = time.monotonic()
        with self._worker.waiting_for(self._conn, self._left):
            piece: bytes = self._reader.read(size)
        self._left -= time.monotonic() - begun
        if len(piece) < min(size, self._missing):
            raise OSError(errno.ECONNRESET, "The client sent less than it said.")
        self._missing -= min(len(piece), self._missing)
        return piece
