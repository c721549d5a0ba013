"""The page on threats: for anybody, in three languages; each answer is held by tests that exist."""

import re
from pathlib import Path

import pytest
from django.test import Client

from prep.words.personal.threats import THREATS
from tests.architecture.tree import ROOT

pytestmark = pytest.mark.django_db


def test_anybody_reads_what_is_answered_and_what_is_not() -> None:
    """Without signing in, with what stays open beside each answer."""
    page = Client().get("/about/threats").content.decode()
    for one in THREATS:
        assert f'id="{one.name}"' in page
    assert page.count("Not answered:") == sum(bool(one.open) for one in THREATS)


def test_each_answer_names_tests_that_hold_it() -> None:
    """DEVELOPERS.md has a row for each threat, with paths of tests; a test that went is found."""
    table = (ROOT / "DEVELOPERS.md").read_text()
    rows = dict(re.findall(r"^\| `([a-z-]+)` \| (.+) \|$", table, re.MULTILINE))
    for one in THREATS:
        named = re.findall(r"`(tests/[\w/.]+)`", rows[one.name])
        assert named, one.name
        assert [path for path in named if not Path(ROOT / path).exists()] == []
