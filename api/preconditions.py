"""Idempotency and precondition headers: they make sending twice and sending late safe.

`Idempotency-Key` (the IETF draft's header) is the command's id: sent twice, it counts once.
`ETag` and `If-Match` (RFC 9110, 13) carry the unit's version, which is compared inside the write.
"""

import re
from collections.abc import Callable
from datetime import datetime
from typing import Final
from uuid import UUID

import msgspec
from django.utils import timezone
from rest_framework.request import Request

from api.origin import origin_of
from prep.actions.submission import Submission
from prep.record.fields import Moment
from prep.record.moments import drift_of
from prep.record.refusal import Refusal

KEY: Final = "Idempotency-Key"
DEVICE: Final = "Device-Name"
CLOCK: Final = "Device-Clock"
HAPPENED: Final = "Happened-At"
LONGEST_DEVICE: Final = 60
MATCHES_NOTHING: Final = -1  # no unit has this version

_TAG: Final = re.compile(r'\s*(W/)?"([\x21\x23-\x7e\x80-\xff]*)"\s*(?:,|$)')


def submission_of(request: Request, version: int | None = None) -> Submission:
    """Id, time and device of the command a request brings."""
    device = request.headers.get(DEVICE, "")[:LONGEST_DEVICE]
    clock = _moment(request, CLOCK)
    drift = drift_of(timezone.now(), clock) if clock else None
    return Submission(
        command_id(request),
        _moment(request, HAPPENED),
        device,
        version,
        drift,
        origin=origin_of(request),
    )


def _moment(request: Request, header: str) -> datetime | None:
    """A moment by the device's clock, RFC 3339; None without the header."""
    given = request.headers.get(header, "").strip()
    if not given:
        return None
    try:
        return msgspec.convert(given, Moment, strict=False)
    except msgspec.ValidationError:
        raise Refusal("moment-unfit", header=header) from None


def command_id(request: Request) -> UUID:
    """The Idempotency-Key: a UUID, with the quotes of the header's syntax or without."""
    given = request.headers.get(KEY, "").strip()
    if not given:
        raise Refusal("key-missing", header=KEY)
    try:
        return UUID(given.strip('"'))
    except ValueError:
        raise Refusal("key-unfit", header=KEY) from None


def version_wanted(request: Request, now: Callable[[], int], *, required: bool) -> int | None:
    """The version named in If-Match; None where any version is accepted.

    `now` is called only to pick among several tags; whether the picked one is still current is
    decided inside the write. Weak tags never match (RFC 9110, 13.1.1).
    """
    given = request.headers.get("If-Match")
    if given is None:
        if required:
            raise Refusal("precondition-missing")
        return None
    if given.strip() == "*":
        return None
    strong = [tag for weak, tag in tags(given) if not weak]
    versions = [int(tag) for tag in strong if tag.isascii() and tag.isdecimal()]
    if len(versions) > 1 and (present := now()) in versions:
        return present
    return versions[0] if versions else MATCHES_NOTHING


def tags(header: str) -> list[tuple[bool, str]]:
    """The entity tags of a header, each with whether it is weak; Refusal of a malformed one."""
    parsed, at = [], 0
    while at < len(header):
        match = _TAG.match(header, at)
        if match is None:
            raise Refusal("precondition-unfit")
        parsed.append((bool(match[1]), match[2]))
        at = match.end()
    return parsed


def etag(version: int) -> str:
    """The strong entity tag of a version."""
    return f'"{version}"'


def unchanged(request: Request, version: int) -> bool:
    """Whether the sender already has this version (If-None-Match compares weakly)."""
    given = request.headers.get("If-None-Match")
    if given is None:
        return False
    return given.strip() == "*" or any(tag == str(version) for _, tag in tags(given))
