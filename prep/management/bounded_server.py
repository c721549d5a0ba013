"""A web server that slow clients cannot silence.

Waitress reads requests without spending a thread on them, but it stops accepting anybody while its
connections are all in use, and waits two minutes for a byte. Here each part of an exchange has a
time limit of its own, one address holds so many connections at most, and the server never stops
accepting: when it is full, whoever keeps it waiting longest gives way to whoever comes.
"""

import time
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from ipaddress import IPv4Network, IPv6Network, ip_address, ip_network
from typing import TYPE_CHECKING, Any, Final

from waitress.adjustments import Adjustments
from waitress.channel import HTTPChannel
from waitress.server import TcpWSGIServer

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIApplication

MEGABYTE: Final = 1024**2


@dataclass(frozen=True)
class Limits:
    """What clients may take of the server. Times are seconds.

    A proxy on this machine speaks for everybody: connections from `proxies` are not counted by
    address. It is to limit them itself (README, "What the proxy limits").
    """

    threads: int = 8
    connections: int = 400
    per_address: int = 60
    idle: float = 60  # between two requests
    header: float = 10  # from a connection's start, or a request's first byte, to its last header
    body: float = 300  # the body: a picture over a poor signal
    silence: float = 30  # without a byte of a body, or taking none of an answer
    answer: float = 900  # taking the whole of an answer
    header_bytes: int = 32 * 1024
    body_bytes: int = 101 * MEGABYTE  # a bundle to be checked; each address takes less by itself
    proxies: tuple[IPv4Network | IPv6Network, ...] = (
        ip_network("127.0.0.1"),
        ip_network("::1"),
    )

    def counts(self, address: str) -> bool:
        """Whether connections from an address are counted."""
        return not any(ip_address(address.partition("%")[0]) in proxy for proxy in self.proxies)


class BoundedChannel(HTTPChannel):
    """A connection that knows since when it waits for its client, and for what."""

    begun = 0.0  # when the first byte of the request came that is being received
    answered = 0.0  # when there was first something of an answer to take

    @property
    def address(self) -> str:
        """The address of the client."""
        return str(self.addr[0])

    def received(self, data: bytes) -> bool:
        """Take what the client sent."""
        if self.request is None:
            self.begun = time.time()
        return super().received(data)

    def write_soon(self, data: bytes) -> int:
        """Take what is answered."""
        if not self.total_outbufs_len:
            self.answered = time.time()
        return super().write_soon(data)

    def waits_for_client(self) -> bool:
        """Whether nothing goes on here unless the client sends or takes something."""
        if self.total_outbufs_len:
            # Less than a packet of an answer still being made waits for us, not for the client.
            return not self.requests or self.total_outbufs_len >= self.adj.send_bytes
        return not self.requests

    def overdue(self, limits: Limits, now: float) -> bool:
        """Whether the client has used up its time."""
        if not self.waits_for_client():
            return False
        silent, first = now - self.last_activity, self.last_activity == self.creation_time
        if self.total_outbufs_len:
            return silent > limits.silence or now - self.answered > limits.answer
        if self.request is None:
            return silent > (limits.header if first else limits.idle)
        if not self.request.headers_finished:
            return now - self.begun > limits.header
        return silent > limits.silence or now - self.begun > limits.header + limits.body


class BoundedServer(TcpWSGIServer):
    """Waitress with limits on time and connections."""

    channel_class = BoundedChannel
    active_channels: Any  # by file number; the published types say otherwise
    effective_port: str

    def __init__(
        self,
        application: "WSGIApplication",
        *,
        host: str = "127.0.0.1",
        port: int = 0,
        limits: Limits | None = None,
    ) -> None:
        self.limits = limits or Limits()
        adjusted = Adjustments(
            host=host,
            port=port,
            threads=self.limits.threads,
            ident="yardproof",
            # One more than is ever kept, so that waitress itself never stops accepting.
            connection_limit=self.limits.connections + 100,
            asyncore_use_poll=True,  # select() knows no file numbers above 1,023
            max_request_header_size=self.limits.header_bytes,
            max_request_body_size=self.limits.body_bytes,
        )
        shortest = min(self.limits.idle, self.limits.header, self.limits.silence)
        often: Any = min(1, shortest / 4)  # parts of a second will do as well
        adjusted.cleanup_interval = adjusted.asyncore_loop_timeout = often
        super().__init__(application, adj=adjusted)

    def handle_accept(self) -> None:
        """Accept a connection; one that keeps us waiting gives way where there are too many."""
        super().handle_accept()
        kept: list[BoundedChannel] = list(self.active_channels.values())
        if not kept:
            return
        newest = kept[-1]
        theirs = [one for one in kept if one.address == newest.address]
        if len(theirs) > self.limits.per_address and self.limits.counts(newest.address):
            _close_one_of(theirs, newest)
        elif len(kept) > self.limits.connections:
            _close_one_of(_largest_crowd(kept), newest)

    def close(self) -> None:
        """Stop serving: end the threads, then every connection."""
        self.task_dispatcher.shutdown()  # a thread still answering writes to what closes next
        for channel in list(self.active_channels.values()):
            channel.handle_close()
        super().close()

    def maintenance(self, now: float) -> None:
        """Close connections whose clients have used up their time, at once.

        Waitress would first wait for them to be ready to be written to, which is what those that
        take nothing of their answer never are.
        """
        for channel in list(self.active_channels.values()):
            if channel.overdue(self.limits, now):
                channel.handle_close()


def _largest_crowd(channels: Iterable[BoundedChannel]) -> list[BoundedChannel]:
    """The connections that wait for their client, of the address that has most of them."""
    crowds = defaultdict(list)
    for one in channels:
        if one.waits_for_client():
            crowds[one.address].append(one)
    return max(crowds.values(), key=len, default=[])


def _close_one_of(channels: Iterable[BoundedChannel], newest: BoundedChannel) -> None:
    """Close the oldest of those that wait for their client; the newest where all are at work."""
    waiting = [one for one in channels if one.waits_for_client() and one is not newest]
    min(waiting, key=lambda one: one.creation_time, default=newest).handle_close()
