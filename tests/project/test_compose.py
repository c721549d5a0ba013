"""The service profile as docker-compose.yml starts it.

No container engine is asked for: the exact command lines of web, worker and beat are run here
against the PostgreSQL and Redis at hand.
"""

import subprocess
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any
from urllib.request import urlopen

import pytest
import yaml

from reports import queue
from reports.models import State
from tests.cast import make_yard
from tests.services import environment

ROOT = Path(__file__).parents[2]
REDIS = "redis://127.0.0.1:6379/11"
PATIENCE = 90  # seconds; beat asks for a sweep every 30


def compose() -> dict[str, Any]:
    """The file as written."""
    loaded: dict[str, Any] = yaml.safe_load((ROOT / "docker-compose.yml").read_text())
    return loaded


@contextmanager
def running(service: str, data: Path) -> Iterator[subprocess.Popen[bytes]]:
    """A service's command line as the file has it; ended afterwards, its output kept in a file."""
    command = compose()["services"][service]["command"]
    with (data / f"{service}.log").open("wb") as output:
        process = subprocess.Popen(
            command, cwd=ROOT, env=environment(data, REDIS), stdout=output, stderr=subprocess.STDOUT
        )
        try:
            yield process
        finally:
            process.terminate()
            process.wait(20)


def wait_for(what: str, arrived: Callable[[], Any], data: Path) -> Any:
    """What `arrived` gives once it gives something."""
    deadline = time.monotonic() + PATIENCE
    while time.monotonic() < deadline:
        found = arrived()
        if found:
            return found
        time.sleep(0.3)
    logs = "\n".join(path.read_text()[-2000:] for path in data.glob("*.log"))
    return pytest.fail(f"{what} did not come in {PATIENCE} s\n{logs}")


def healthy() -> str:
    """What the health check of the file asks for."""
    try:
        with urlopen("http://localhost:8000/alive", timeout=3) as answer:
            return str(answer.read().decode())
    except OSError:  # not listening yet, or too busy to answer in time
        return ""


@pytest.mark.postgres
@pytest.mark.redis
@pytest.mark.django_db(transaction=True)
def test_web_worker_and_beat_make_a_certificate(tmp_path: Path, settings: Any) -> None:
    """A release in the database becomes a certificate by beat's sweep and the worker's hands."""
    settings.CELERY_BROKER_URL = REDIS
    yard = make_yard()
    unit = yard.ready()
    yard.release(unit)
    with ExitStack() as stack:
        for service in ("web", "worker", "beat"):
            stack.enter_context(running(service, tmp_path))
        wait_for("the health check", healthy, tmp_path)
        certificate = wait_for(
            "the certificate",
            lambda: queue.requests_of(unit).filter(kind="certificate", state=State.DONE).first(),
            tmp_path,
        )
    assert certificate.bytes > 10_000
    assert (tmp_path / "files" / certificate.file.name).exists()


def test_every_service_has_a_health_check_and_restarts() -> None:
    """The file promises what it should; the one that prepares runs once."""
    services = compose()["services"]
    assert set(services) == {"database", "broker", "prepare", "web", "worker", "beat"}
    for name, service in services.items():
        if name == "prepare":
            assert service["restart"] == "no"
        else:
            assert service["healthcheck"]["test"]
            assert service["restart"] == "unless-stopped"
    assert set(compose()["volumes"]) == {"database", "data"}
