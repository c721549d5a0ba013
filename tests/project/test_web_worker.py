"""Slow clients of gunicorn, over real sockets: two threads, and always one of them for the rest."""

import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from urllib.request import Request, urlopen

import pytest

ROOT = Path(__file__).parents[2]
PATIENCE = 15.0  # seconds
HALF_HEADER = b"GET / HTTP/1.1\r\nHost: localhost\r\nX-Slow: "
HALF_BODY = b"POST / HTTP/1.1\r\nHost: localhost\r\nContent-Length: 1000\r\n\r\nhalf"
LARGE = b"GET /large HTTP/1.1\r\nHost: localhost\r\n\r\n"


@pytest.fixture(scope="module")
def port() -> Iterator[int]:
    """Where gunicorn serves, with the settings of the service profile and short limits."""
    with socket.create_server(("127.0.0.1", 0)) as free:
        port: int = free.getsockname()[1]
    worker = "tests.project.short_worker"
    command = f"-m gunicorn --config python:prep.project.web_server {worker}:application"
    options = f"--worker-class {worker}.ShortWorker --workers 1 --threads 2 --bind 127.0.0.1:{port}"
    process = subprocess.Popen(
        [sys.executable, *command.split(), *options.split()],
        cwd=ROOT,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    deadline = time.monotonic() + PATIENCE
    while time.monotonic() < deadline:
        try:
            socket.create_connection(("127.0.0.1", port), 1).close()
            break
        except OSError:
            time.sleep(0.05)
    try:
        yield port
    finally:
        process.terminate()
        process.wait(PATIENCE)


def answer(port: int, body: bytes | None = None) -> bytes:
    """What somebody who behaves is answered."""
    with urlopen(Request(f"http://127.0.0.1:{port}/", body), timeout=PATIENCE) as answered:
        return bytes(answered.read())


@pytest.mark.parametrize(
    "sent",
    [HALF_HEADER, HALF_BODY, LARGE],
    ids=["half a header", "half a body", "taking no answer"],
)
def test_slow_clients_do_not_keep_the_threads(port: int, sent: bytes) -> None:
    """They are cut off, and whoever comes after them is answered."""
    with ExitStack() as stack:
        for _ in range(4):
            slow = socket.create_connection(("127.0.0.1", port), PATIENCE)
            stack.enter_context(slow).sendall(sent)
        assert answer(port) == b"0 bytes"


@pytest.mark.parametrize("sent", [HALF_HEADER, HALF_BODY], ids=["a header", "a body"])
def test_a_byte_now_and_then_does_not_keep_a_thread(port: int, sent: bytes) -> None:
    """The whole has a limit; each byte alone would be within it."""
    with socket.create_connection(("127.0.0.1", port), PATIENCE) as dripping:
        dripping.sendall(sent)
        assert cut_off(lambda: dripping.sendall(b"x"))


def cut_off(send: Callable[[], None]) -> bool:
    """Whether sending ends in an error within patience."""
    deadline = time.monotonic() + PATIENCE
    while time.monotonic() < deadline:
        try:
            send()
        except OSError:
            return True
        time.sleep(0.05)
    return False


def test_half_a_body_is_not_taken_for_the_whole(port: int) -> None:
    """A client that goes in the middle of a picture has sent none."""
    with socket.create_connection(("127.0.0.1", port), PATIENCE) as client:
        client.sendall(HALF_BODY)
        client.shutdown(socket.SHUT_WR)
        assert client.recv(100) == b""


def test_a_whole_body_is_taken_at_once_or_in_pieces(port: int) -> None:
    """Those who are quick enough notice nothing."""
    assert answer(port, b"x" * 3_000_000) == b"3000000 bytes"
    with socket.create_connection(("127.0.0.1", port), PATIENCE) as client:
        client.sendall(HALF_BODY)
        client.sendall(b"x" * 996)
        assert client.recv(12) == b"HTTP/1.1 200"
