"""Idempotency and precondition headers: they make sending twice and sending late safe.

`Idempotency-Key` (the IETF draft's header) is the command's id: sent twice, it counts once.
`ETag` and `If-Match` (RFC 9110, 13) carry the unit's version, which is compared inside the write.
"""

import re
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from typing import Final
from uuid import UUID

from django.utils import timezone
from rest_framework.request import Request

from api.origin import origin_of
from prep.actions.submission import Submission
from prep.record.inputs.spelling import id_of, moment_of, whole_of
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
    device = _device(request)
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


def _device(request: Request) -> str:
    """What the device is called: UTF-8 in the header's bytes, as whoever typed it sends it."""
    given = request.headers.get(DEVICE, "").strip()
    with suppress(UnicodeError):
        given = given.encode("latin-1").decode()
    if len(given) > LONGEST_DEVICE or not given.isprintable():
        raise Refusal("device-unfit", header=DEVICE, most=LONGEST_DEVICE)
    return given


def _moment(request: Request, header: str) -> datetime | None:
    """A moment by the device's clock, RFC 3339; None without the header."""
    given = request.headers.get(header, "").strip()
    if not given:
        return None
    moment = moment_of(given)
    if moment is None:
        raise Refusal("moment-unfit", header=header)
    return moment


def command_id(request: Request) -> UUID:
    """The Idempotency-Key: a UUID, with the quotes of the header's syntax or without."""
    given = request.headers.get(KEY, "").strip()
    if not given:
        raise Refusal("key-missing", header=KEY)
    key = id_of(given[1:-1] if re.fullmatch('".*"', given) else given)
    if key is None:
        raise Refusal("key-unfit", header=KEY)
    return key


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
    known = map(whole_of, strong)
    versions = [version for version in known if version is not None and version >= 0]
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
