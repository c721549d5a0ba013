"""The broker dies and comes back: whatever was asked for meanwhile is made."""

import socket
import subprocess
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.cast import Yard
from tests.concurrency.workers import ask_for, at_work, done, wait_until

pytestmark = [pytest.mark.postgres, pytest.mark.redis, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def broker() -> Iterator[tuple[str, Callable[[bool], None]]]:
    """Address of a Redis server of the test's own, and what switches it on and off."""
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    running: list[subprocess.Popen[bytes]] = []

    def switch(on: bool) -> None:
        if on:
            command = ["redis-server", "--port", str(port), "--save", "", "--appendonly", "no"]
            running.append(subprocess.Popen(command, stdout=subprocess.DEVNULL))
        while running and not on:
            running[-1].kill()
            running.pop().wait()

    switch(True)
    yield f"redis://127.0.0.1:{port}/0", switch
    switch(False)


def test_what_is_asked_for_without_a_broker_is_made_when_it_is_back(
    served_yard: Yard, tmp_path: Path, broker: tuple[str, Callable[[bool], None]]
) -> None:
    """Every message is gone with the broker; the rows are not, and nothing is started anew."""
    address, switch = broker
    ask_for(served_yard, 2)
    with at_work(tmp_path, address):
        wait_until("the first two", lambda: done() == 2, tmp_path)
        switch(False)
        ask_for(served_yard, 2, first=2)
        time.sleep(2)  # of which beat tries to send word four times
        assert done() == 2
        switch(True)
        wait_until("the other two", lambda: done() == 4, tmp_path)
