"""Signs of life of the workers, and what is told where they are missing.

Work itself is found by looking at rows; a heartbeat only tells people that nobody looks.
"""

from collections.abc import Iterator
from datetime import datetime, timedelta
from importlib import import_module
from typing import Any, Final

from django.conf import settings
from django.core.cache import cache
from django.utils import timezone

from prep.actions.outages.checks import Outage
from reports.models import DocumentRequest, Heartbeat, State

EVERY: Final = 30  # seconds between two signs of one process: as often as it sweeps
SILENT: Final = timedelta(minutes=5)
WAITED: Final = timedelta(minutes=5)  # a document waits for seconds where a worker is free
PATIENCE: Final = 1.0  # seconds for the broker to answer


def beat() -> None:
    """Say that a worker is looking for work; at most once in a while, because it is a write."""
    if cache.add("heartbeat", True, EVERY):
        Heartbeat.objects.update_or_create(name="worker", defaults={"seen": timezone.now()})


def last_beat() -> datetime | None:
    """When a worker last looked for work; None where none ever did."""
    return Heartbeat.objects.filter(name="worker").values_list("seen", flat=True).first()


def worker_away_since() -> datetime | None:
    """Since when no worker has given a sign of life; None where one does, or none ever did."""
    seen = last_beat()
    return seen if seen and timezone.now() - seen > SILENT else None


def waits_long(request: DocumentRequest) -> bool:
    """Whether a document should have been begun long ago."""
    return request.state == State.WAITING and timezone.now() - request.due > WAITED


def workers() -> Iterator[Outage]:
    """No worker runs, or what there is to do has waited too long for one."""
    if (since := worker_away_since()) is not None:
        yield Outage("worker-away", {"since": since})
    late = DocumentRequest.objects.filter(state=State.WAITING, due__lt=timezone.now() - WAITED)
    oldest = late.order_by("due").values_list("due", flat=True).first()
    if oldest is not None:
        yield Outage("documents-wait", {"since": oldest})


def broker() -> Iterator[Outage]:
    """The message broker of the service profile does not answer."""
    if not settings.SERVICE:
        return
    # Read only here: the embedded profile has no broker, and spares its library's memory.
    redis: Any = import_module("redis")
    client = redis.Redis.from_url(
        settings.CELERY_BROKER_URL, socket_connect_timeout=PATIENCE, socket_timeout=PATIENCE
    )
    try:
        client.ping()
    except (redis.RedisError, OSError):
        yield Outage("broker-away")
    finally:
        client.close()
