"""No forgery of a bundle passes, and what was altered is named."""

import random
from pathlib import Path
from typing import Final

import pytest

from reports.bundles import verifier
from reports.bundles.verifier import FAILS, UNCHECKED, Finding
from tests.campaigns.forged_bag import Forgery, packed, touched
from tests.campaigns.forger import forge
from tests.campaigns.genuine import Yards, genuine
from tests.campaigns.plan import SHARDS, chances

__all__ = ["genuine"]

MODES: Final = ("published key", "published key", "published key", "no key", "no package")


def findings_of(path: Path, keys: list[str]) -> verifier.Findings:
    """What the verifier finds of a bundle."""
    findings = verifier.Findings()
    verifier.check_bundle(path, keys, findings)
    return findings


def allowed(forgery: Forgery, mode: str) -> set[int]:
    """Exit codes that are no false yes: 2 for the classes the forger's list names, else 1."""
    unsigned = mode == "no package" or (mode == "no key" and forgery.own_key)
    return {1, 2} if unsigned else {1}


def is_named(name: str, found: list[Finding]) -> bool:
    """Whether a finding that is not "holds" speaks of a file."""
    folders = [one.file for one in found if one.file.endswith("/")]
    return name.startswith(tuple(folders)) or any(
        name == one.file or name in one.text for one in found
    )


def unseen(forgery: Forgery, before: dict[str, bytes], path: Path, key: str) -> str:
    """What is wrong with the verdict on a forgery; empty if nothing."""
    mode = forgery.chance.choice(MODES)
    path.write_bytes(packed(forgery))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(verifier, "HAS_ED25519", mode != "no package")
        findings = findings_of(path, [] if mode == "no key" else [key])
    told = f"{'; '.join(forgery.told)} ({mode})"
    if findings.exit_code not in allowed(forgery, mode):
        return f"exit code {findings.exit_code}: {told}"
    against = [one for one in findings.all() if one.status in {FAILS, UNCHECKED}]
    silent = [n for n in sorted(touched(before, forgery.files)) if not is_named(n, against)]
    return f"not named, {silent}: {told}" if silent else ""


@pytest.mark.django_db  # has the tables made, which the bundles are made from
@pytest.mark.parametrize("shard", range(SHARDS))
def test_no_forgery_of_a_bundle_passes(genuine: Yards, tmp_path: Path, shard: int) -> None:
    """Compound changes without the log's key; the bundles themselves hold, before and after."""
    path, made, passed = tmp_path / "bundle.zip", 0, []
    for chance in chances("forgery", shard, SHARDS):
        name, outcome = one_forgery(genuine, path, chance)
        made += 1
        passed += [f"{name}: {outcome}"] if outcome else []
    print(f"{made} forgeries of bundles, {len(passed)} unseen", *passed, sep="\n")
    assert passed == []
    for bundle in genuine.bundles.values():
        path.write_bytes(bundle.packed)
        assert findings_of(path, [genuine.key]).exit_code == 0
        assert findings_of(path, []).exit_code == 2


def one_forgery(genuine: Yards, path: Path, chance: random.Random) -> tuple[str, str]:
    """Make one forgery that changes something, and judge the verdict on it."""
    while True:
        name = chance.choice(sorted(genuine.bundles))
        others = [one for title, one in genuine.bundles.items() if title != name]
        forgery = forge(genuine.bundles[name], others, chance)
        before = genuine.bundles[name].files
        if touched(before, forgery.files) or forgery.packing != "as the service packs":
            return name, unseen(forgery, before, path, genuine.key)


@pytest.mark.django_db  # has the tables made, which the bundles are made from
def test_another_genuine_bundle_tells_which_it_is(genuine: Yards, tmp_path: Path) -> None:
    """Put in place of this one it holds, as the forger's list says; its number shows."""
    path = tmp_path / "bundle.zip"
    for bundle in genuine.bundles.values():
        path.write_bytes(bundle.packed)
        findings = findings_of(path, [genuine.key])
        [read] = [one for one in findings.all() if one.code == "statement-read"]
        assert bundle.name.replace("-", " ", 1) in read.text
