"""A certificate that several tests only look at: made once a worker."""

import pytest
from pytest_django import DjangoDbBlocker

from reports.certificate.document import certificate_pdf
from tests.reports import certificates
from tests.reports.certificates import Issued


@pytest.fixture(scope="session")
def issued(
    django_db_setup: None,
    django_db_blocker: DjangoDbBlocker,
    tmp_path_factory: pytest.TempPathFactory,
) -> Issued:
    """The certificate of a machine that has one of each thing a certificate tells of."""
    folder = tmp_path_factory.mktemp("yard")
    with django_db_blocker.unblock(), certificates.a_yard_of_its_own(folder) as yard:
        unit = certificates.with_everything(yard)
        yard.release(unit)
        return certificates.issued(certificates.only(unit))


@pytest.fixture(scope="session", params=["A4", "Letter"])
def on_paper(request: pytest.FixtureRequest, issued: Issued) -> tuple[str, bytes]:
    """The same certificate on each paper."""
    return request.param, certificate_pdf(issued.facts, issued.pictures, request.param)
