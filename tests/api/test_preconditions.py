"""Entity tags of a unit, sent back by whoever looked at it (RFC 9110, sections 8.8.3 and 13.1)."""

from uuid import UUID

import pytest

from prep.queries.records import record_of
from prep.record.unit.commands.releases import sheet_digest
from tests.api.client import Answer, Api
from tests.cast import PIN, Yard
from tests.refusals import everything


@pytest.fixture
def api(yard: Yard) -> Api:
    """A client of the yard."""
    return Api(yard)


def released(api: Api, unit: UUID, **headers: str) -> Answer:
    """Mira's release, under the headers given."""
    body = {"seen": sheet_digest(record_of(unit)), "pin": PIN}
    return api.post(f"units/{unit}/release", body, api.yard.mira, **headers)


@pytest.mark.parametrize(
    ("tag", "status"),
    [
        ('W/"{version}"', 412),  # 13.1.1: a weak tag never matches strongly
        ('"{older}"', 412),
        ('"another"', 412),
        ('"{older}", W/"{version}"', 412),
        ("{version}", 400),
        ('"{version}"', 201),
        ('"{older}", "{version}"', 201),
        ('"another", "{version}"', 201),
        ("*", 201),
    ],
)
def test_a_unit_is_released_only_as_it_was_looked_at(
    api: Api, yard: Yard, tag: str, status: int
) -> None:
    """The tag of the present version, strong, alone or among others; or any version at all."""
    unit = yard.prepared()
    version = record_of(unit).version
    before = everything()
    sent = tag.format(version=version, older=version - 1)
    assert released(api, unit, If_Match=sent).status == status
    assert (everything() == before) is (status != 201)


def test_a_release_without_a_tag_asks_for_one(api: Api, yard: Yard) -> None:
    """Nobody releases what they did not look at."""
    unit = yard.prepared()
    answer = released(api, unit)
    assert (answer.status, answer.code) == (428, "precondition-missing")
    assert record_of(unit).release is None


@pytest.mark.parametrize(
    ("tag", "status"),
    [('"{version}"', 304), ('W/"{version}"', 304), ("*", 304), ('"{older}"', 200), ("", 200)],
)
def test_a_unit_that_the_sender_has_is_not_sent_again(
    api: Api, yard: Yard, tag: str, status: int
) -> None:
    """If-None-Match compares weakly (13.1.2)."""
    unit = yard.started()
    version = record_of(unit).version
    sent = tag.format(version=version, older=version - 1)
    answer = api.get(f"units/{unit}", yard.ada, **({"If_None_Match": sent} if sent else {}))
    assert (answer.status, answer.etag) == (status, f'"{version}"')
