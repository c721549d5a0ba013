"""A sold unit's registration bundle, and how its receiver looks at it."""

import zipfile
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4

import pytest

from prep.models import LogKey, Person
from reports import queue
from reports.bundles import verifier
from reports.models import DocumentRequest
from tests.cast import Yard
from tests.reports.sold_units import made, quick_certificates, saved, sold
from tests.stored_files import own_folders

MUTATIONS = 600


@pytest.fixture(autouse=True)
def _own_folders(settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keys and files of a test lie in its folder; certificates are short."""
    own_folders(settings, tmp_path)
    quick_certificates(monkeypatch)


def published_key() -> str:
    """The key a dealership would publish."""
    return str(LogKey.objects.get().verifier)


def verdict(path: Path, key: str) -> verifier.Findings:
    """What the travelling verifier finds."""
    findings = verifier.Findings()
    verifier.check_bundle(path, [key], findings)
    return findings


def data_of(path: Path) -> dict[str, bytes]:
    """Every file below data/ by its name."""
    with zipfile.ZipFile(path) as archive:
        return {
            name.partition("/data/")[2]: archive.read(name)
            for name in archive.namelist()
            if "/data/" in name
        }


@pytest.fixture
def bundle(yard: Yard, tmp_path: Path) -> Path:
    """The registration bundle of a sold unit, as the maker saves it."""
    return saved(made(sold(yard, hour_meter="0.4"), "registration"), tmp_path)


def resend(*, actor: Person, unit: UUID) -> DocumentRequest:
    """Somebody asks for the next version of a unit's registration."""
    return queue.ask(
        actor=actor, kind="registration", command=uuid4(), unit=unit, parameters={"again": True}
    )
