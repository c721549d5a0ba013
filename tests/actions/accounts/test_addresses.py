"""The address a request came from, behind a stated number of proxies."""

from typing import Any

import pytest

from prep.actions.accounts.origin import sender

PEER = "192.0.2.1"  # reserved for documentation (RFC 5737), as are the others


def heard(forwarded: str | None, peer: str = PEER) -> str:
    """The sender of a request with this header."""
    header = {} if forwarded is None else {"HTTP_X_FORWARDED_FOR": forwarded}
    return sender({"REMOTE_ADDR": peer, **header})


@pytest.mark.parametrize(
    ("proxies", "forwarded", "address"),
    [
        (0, None, PEER),
        (0, "198.51.100.7", PEER),
        (1, None, PEER),
        (1, "198.51.100.7", "198.51.100.7"),
        (1, "203.0.113.9, 198.51.100.7", "198.51.100.7"),
        (1, "203.0.113.9,,198.51.100.7", "198.51.100.7"),
        (2, "203.0.113.9, 198.51.100.7, 198.51.100.8", "198.51.100.7"),
        (2, "198.51.100.8", PEER),
        (1, " , ", PEER),
    ],
)
def test_what_a_client_writes_into_the_header_lifts_nothing(
    settings: Any, proxies: int, forwarded: str | None, address: str
) -> None:
    """Finding B2: only what our own proxies wrote is believed, counted from the right."""
    settings.PROXIES = proxies
    assert heard(forwarded) == address


@pytest.mark.parametrize(
    ("peer", "address"),
    [
        ("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::/64"),
        ("2001:db8:1:2::9", "2001:db8:1:2::/64"),
        ("::ffff:192.0.2.1", "192.0.2.1"),
        ("no address", "no address"),
    ],
)
def test_of_ipv6_the_network_counts(settings: Any, peer: str, address: str) -> None:
    """A customer has 2⁶⁴ addresses of one network (RFC 6177)."""
    settings.PROXIES = 0
    assert heard(None, peer) == address
