"""Of all certificates forged without the log's key, each is refused and named for what it is."""

import random
from collections import Counter
from pathlib import Path

import pytest
from pytest_django import DjangoDbBlocker

from reports.bundles import verifier
from tests.campaigns.forged_certificates import MOVES, Chance
from tests.campaigns.plan import SHARDS, chances
from tests.reports import certificates
from tests.reports.certificates import Issued

pytestmark = pytest.mark.django_db  # has the tables made, which the certificates are drawn from


@pytest.fixture(scope="session")
def pair(
    django_db_setup: None,
    django_db_blocker: DjangoDbBlocker,
    tmp_path_factory: pytest.TempPathFactory,
) -> tuple[Issued, Issued]:
    """Certificates of two machines of one yard, under one key."""
    folder = tmp_path_factory.mktemp("two")
    with django_db_blocker.unblock(), certificates.a_yard_of_its_own(folder) as yard:
        units = [certificates.with_everything(yard) for _ in range(2)]
        for unit in units:
            yard.release(unit)
        one, other = (certificates.issued(certificates.only(unit)) for unit in units)
        return one, other


def found(pdf: bytes, *keys: str) -> verifier.Findings:
    """What the verifier finds of a certificate alone."""
    findings = verifier.Findings()
    verifier.check_certificate(pdf, "", list(keys), findings)
    return findings


def faults(findings: verifier.Findings) -> str:
    """What does not hold, in words."""
    return "\n".join(text for kind, text in findings.lines if kind == "DOES NOT HOLD")


@pytest.mark.parametrize("shard", range(SHARDS))
def test_every_forged_certificate_is_refused_and_named(
    pair: tuple[Issued, Issued], shard: int
) -> None:
    """With the published key; without one, it is never said that all holds."""
    for control in pair:
        assert found(control.pdf, *control.keys).exit_code == 0
    unseen, made = [], Counter[str]()
    for number, draw in enumerate(chances("forged-certificate", shard, SHARDS)):
        one, other = pair if draw.random() < 0.5 else pair[::-1]
        move = MOVES[(number * SHARDS + shard) % len(MOVES)]
        pdf, words = move(Chance(draw, one, other))
        made[move.__name__] += 1
        assert pdf != one.pdf
        findings = found(pdf, *one.keys)
        if findings.exit_code != 1 or words not in faults(findings):
            unseen.append(f"{move.__name__}: {findings.lines}")
        if found(pdf).exit_code == 0:
            unseen.append(f"{move.__name__}, no key given: all holds")
    print(f"{made.total()} forged certificates in {len(made)} ways, {len(unseen)} unseen")
    assert unseen == []


@pytest.mark.parametrize("move", MOVES, ids=lambda move: str(move.__name__))
def test_every_way_to_forge_is_tried(pair: tuple[Issued, Issued], move: object) -> None:
    """Each once, whatever chance chose above."""
    pdf, words = move(Chance(random.Random(7), *pair))  # type: ignore[operator]  # one of MOVES
    findings = found(pdf, *pair[0].keys)
    assert (findings.exit_code, words in faults(findings)) == (1, True), findings.lines


def test_a_forger_s_own_certificate_holds_for_nobody_who_has_no_key(
    pair: tuple[Issued, Issued], tmp_path: Path
) -> None:
    """It is told whose key was not checked."""
    own = next(move for move in MOVES if move.__name__ == "his_key_inside")
    findings = found(own(Chance(random.Random(1), *pair)).pdf)
    assert findings.exit_code != 0
    assert any("Whose key it is" in text for _, text in findings.lines)
