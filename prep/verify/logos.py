"""Verification of logos: each that the log names is there, and is the picture that was set."""

from collections.abc import Iterator

import msgspec

from prep.actions.beside_the_log.pictures import LOGO
from prep.models import Event, LogoFile
from prep.record.reference_events import decode
from prep.record.site.details import Logo
from prep.record.site.events import SiteLogoSet
from prep.verify.findings import Finding, Tell
from prep.verify.index import read_file


def logos(tell: Tell) -> Iterator[Finding]:
    """Check the files of every logo a yard has, or had: documents made again need it."""
    rows = list(Event.objects.filter(stream="site", kind="site.logo_set").order_by("pk"))
    for done, row in enumerate(rows, start=1):
        if logo := _logo(row):
            yield from _faults(logo, row.stream_id)
        tell("logos", done, len(rows))


def _logo(row: Event) -> Logo | None:
    """What an event names; nothing where it cannot be read, which is told of elsewhere."""
    try:
        event = decode(row.body)
    except msgspec.MsgspecError:
        return None
    return event.logo if isinstance(event, SiteLogoSet) else None


def _faults(logo: Logo, site: str) -> Iterator[Finding]:
    kept = LogoFile.objects.filter(digest=logo.digest, small=logo.small).exists()
    for digest in dict.fromkeys((logo.digest, logo.small)):
        unreadable, altered = read_file(LOGO.file(digest), digest)
        if unreadable or not kept:
            yield Finding("logo", digest, "logo-missing", {"site": site})
        elif altered:
            yield Finding("logo", digest, "logo-altered", {"site": site})
