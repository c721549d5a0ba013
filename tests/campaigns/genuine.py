"""Genuine bundles of one yard, for a forger to begin with: made once a worker."""

import io
import zipfile
from dataclasses import dataclass
from typing import Any
from uuid import UUID, uuid4

import pytest
from pytest_django import DjangoDbBlocker

from prep.actions import sealing
from prep.queries import log
from reports import queue
from reports.models import DocumentRequest
from tests.cast import Yard
from tests.reports import certificates, sold_units
from tests.setting_sheets import set_wrench, with_settings

Files = dict[str, bytes]


@dataclass(frozen=True)
class Genuine:
    """A bundle as it was issued: its folder's name, its files in the order of the ZIP."""

    name: str
    files: Files
    packed: bytes


@dataclass(frozen=True)
class Yards:
    """Bundles of one log, by what they are, and the key the dealership publishes."""

    key: str
    bundles: dict[str, Genuine]


@pytest.fixture(scope="session")
def genuine(
    django_db_setup: None,
    django_db_blocker: DjangoDbBlocker,
    tmp_path_factory: pytest.TempPathFactory,
) -> Yards:
    """Registrations of two units, one of them sent again, and audits then and now."""
    folder = tmp_path_factory.mktemp("genuine")
    with django_db_blocker.unblock(), certificates.a_yard_of_its_own(folder) as yard:
        return made_by(yard)


def made_by(yard: Yard) -> Yards:
    """The bundles, each with what it is; the last audit has a unit with a wrench's setting too."""
    one = sold(yard)
    earlier = audit(yard)
    other = sold(yard)
    again = queue.ask(
        actor=yard.mira, kind="registration", command=uuid4(), unit=one, parameters={"again": True}
    )
    queue.run_due()
    set_wrench(yard, with_settings(yard), checked=5, moved=2)
    bundles = {
        "registration": issued(DocumentRequest.objects.get(kind="registration", unit=other)),
        "registration, first": issued(
            DocumentRequest.objects.filter(kind="registration", unit=one).earliest("created")
        ),
        "registration, again": issued(again),
        "audit, earlier": issued(earlier),
        "audit": issued(audit(yard)),
        "audit without files": issued(audit(yard, files=False)),
    }
    [key] = log.public_keys()
    return Yards(key.text, bundles)


def sold(yard: Yard) -> UUID:
    """A unit with a conceded reading, photos and all its documents, handed over."""
    unit = certificates.with_everything(yard, sold_units.buyer_with_address(yard))
    yard.release(unit)
    sold_units.hand_over(yard, unit, hour_meter="0.4")
    queue.catch_up()
    queue.run_due()
    queue.catch_up()
    return unit


def audit(yard: Yard, **parameters: Any) -> DocumentRequest:
    """An audit of everything there is now."""
    sealing.seal()
    asked = queue.ask(actor=yard.rhea, kind="audit", command=uuid4(), parameters=parameters)
    queue.run_due()
    return asked


def issued(request: DocumentRequest) -> Genuine:
    """A bundle from the file that was issued."""
    request.refresh_from_db()
    assert request.state == "done", request.failure
    with queue.open_file(request) as opened:
        packed = opened.read()
    with zipfile.ZipFile(io.BytesIO(packed)) as archive:
        names = archive.namelist()
        folder = names[0].partition("/")[0]
        files = {name[len(folder) + 1 :]: archive.read(name) for name in names}
    return Genuine(folder, files, packed)
