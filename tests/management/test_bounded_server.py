"""Slow clients, over real sockets: they are cut off, and nobody else waits for them.

The limits are short, so that the tests are. An address counted as an outsider's is 127.0.0.2; the
one a proxy on this machine speaks from, 127.0.0.1, is not counted.
"""

import socket
import threading
import time
from collections.abc import Iterable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any
from urllib.request import urlopen

import pytest
from waitress.adjustments import Adjustments
from waitress.server import TcpWSGIServer
from waitress.wasyncore import close_all

from prep.management.bounded_server import BoundedServer, Limits

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse

SHORT = Limits(threads=2, connections=600, idle=0.4, header=0.4, body=0.8, silence=0.3, answer=0.8)
LONG = Limits(threads=2, connections=40, per_address=10)  # nothing is over during a test
PROXY, OUTSIDER, ANOTHER = "127.0.0.1", "127.0.0.2", "127.0.0.3"
HALF_HEADER = b"GET / HTTP/1.1\r\nHost: localhost\r\nX-Slow: "
HALF_BODY = b"POST / HTTP/1.1\r\nHost: localhost\r\nContent-Length: 1000\r\n\r\nhalf"
WHOLE = b"GET / HTTP/1.1\r\nHost: localhost\r\n\r\n"
LARGE = 40 * 1024 * 1024  # bytes; more than waitress and both kernels' buffers hold
PATIENCE = 5.0  # seconds


def application(environ: dict[str, Any], start_response: "StartResponse") -> Iterable[bytes]:
    """Says “ok”; at /large, forty megabytes in pieces."""
    start_response("200 OK", [("Content-Type", "text/plain")])
    if environ["PATH_INFO"] == "/large":
        return (b"x" * 65_536 for _ in range(LARGE // 65_536))
    return [b"ok"]


@dataclass
class Served:
    """A running server, and the clients it has."""

    port: int
    stack: ExitStack

    def connected(self, count: int, sends: bytes = b"", source: str = PROXY) -> list[Any]:
        """So many connections from one address, each of which sends the same and then nothing."""
        made = []
        for _ in range(count):
            client = socket.create_connection(("127.0.0.1", self.port), PATIENCE, (source, 0))
            made.append(self.stack.enter_context(client))
            client.sendall(sends)
        return made

    def answers(self, within: float = PATIENCE) -> bool:
        """Whether somebody who behaves is answered."""
        with urlopen(f"http://127.0.0.1:{self.port}/", timeout=within) as answer:
            return bool(answer.read() == b"ok")


@contextmanager
def serving(limits: Limits) -> Iterator[Served]:
    """A server with these limits."""
    with running(BoundedServer(application, limits=limits)) as served:
        yield served


@contextmanager
def running(server: Any) -> Iterator[Served]:
    """A server at work in a thread."""
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    with ExitStack() as stack:
        yield Served(int(server.effective_port), stack)
    server.close()
    thread.join(PATIENCE)


def is_open(connection: socket.socket) -> bool:
    """Whether the server keeps a connection open that it has sent nothing on."""
    connection.setblocking(False)
    try:
        return connection.recv(1) != b""
    except BlockingIOError:
        return True
    except ConnectionResetError:
        return False


def still_open(connections: list[Any], enough: int) -> int:
    """How many connections are open, once it is no more than `enough` or patience is over."""
    deadline = time.monotonic() + PATIENCE
    while (count := sum(map(is_open, connections))) > enough and time.monotonic() < deadline:
        time.sleep(0.02)
    return count


def test_the_library_by_itself_is_silenced_by_half_sent_bodies() -> None:
    """Negative control: this is what the limits are for."""
    unbounded: Any = TcpWSGIServer(
        application, adj=Adjustments(host="127.0.0.1", port=0, threads=2)
    )
    with running(unbounded) as served:
        served.connected(105, HALF_BODY)
        with pytest.raises(TimeoutError):
            served.answers(within=0.3)
        unbounded.task_dispatcher.shutdown()
        close_all(unbounded._map)


@pytest.mark.parametrize(
    ("sent", "count"),
    [(HALF_BODY, 105), (HALF_HEADER, 105), (b"", 500), (WHOLE, 105)],
    ids=["half a body", "half a header", "nothing", "a request, and then nothing"],
)
def test_somebody_is_answered_beside_clients_that_keep_the_server_waiting(
    sent: bytes, count: int
) -> None:
    """105 half-sent bodies once silenced the server for two minutes."""
    with serving(SHORT) as served:
        slow = served.connected(count, sent)
        assert served.answers()
        for one in slow:
            if sent == WHOLE:
                assert one.recv(9) == b"HTTP/1.1 "
                while one.recv(4096)[-2:] != b"ok":
                    pass
        assert still_open(slow, 0) == 0


@pytest.mark.parametrize("sent", [HALF_HEADER, HALF_BODY], ids=["a header", "a body"])
def test_a_byte_now_and_then_does_not_keep_a_connection_for_ever(sent: bytes) -> None:
    """The whole has a limit, however lively its pieces are."""
    with serving(SHORT) as served:
        (dripping,) = served.connected(1, sent)
        begun = time.monotonic()
        with suppress(OSError):  # reset or broken pipe, as it comes
            while time.monotonic() - begun < PATIENCE:
                dripping.sendall(b"x")
                time.sleep(0.05)
        assert time.monotonic() - begun < PATIENCE


def test_those_who_do_not_take_their_answers_give_the_threads_back() -> None:
    """Two threads, four readers that take nothing of forty megabytes."""
    with serving(SHORT) as served:
        slow = served.connected(4, WHOLE.replace(b"/ ", b"/large ", 1))
        assert served.answers()
        for one in slow:
            taken = 0
            one.settimeout(PATIENCE)
            try:
                while piece := one.recv(1 << 20):
                    taken += len(piece)
            except ConnectionResetError:
                pass
            assert taken < LARGE


def test_an_address_holds_so_many_connections_and_its_oldest_gives_way() -> None:
    """Others are not touched, and the newest of the address is served."""
    with serving(LONG) as served:
        other = served.connected(1, HALF_BODY, ANOTHER)
        slow = served.connected(25, HALF_BODY, OUTSIDER)
        assert still_open(slow, 10) == 10
        assert [is_open(one) for one in slow] == [False] * 15 + [True] * 10
        assert is_open(other[0])
        assert served.answers()


def test_a_full_server_lets_the_largest_crowd_give_way() -> None:
    """A proxy speaks for everybody: it is not counted, and yet cannot fill the server."""
    with serving(LONG) as served:
        other = served.connected(5, HALF_BODY, ANOTHER)
        slow = served.connected(105, HALF_BODY)
        assert served.answers()
        assert still_open(slow, 35) <= 35
        assert all(map(is_open, other))


def test_a_body_or_header_beyond_its_size_is_refused_before_it_is_sent() -> None:
    """By what the request says of itself."""
    with serving(Limits(threads=1, body_bytes=1000, header_bytes=1000)) as served:
        (large,) = served.connected(1, HALF_BODY.replace(b"1000", b"1001"))
        assert large.recv(12) == b"HTTP/1.1 413"
        (long,) = served.connected(1, HALF_HEADER + b"x" * 1000)
        assert long.recv(12) == b"HTTP/1.0 431"
