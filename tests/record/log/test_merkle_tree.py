"""Merkle tree of the log: roots, inclusion and consistency proofs (RFC 6962)."""

import base64
import hashlib
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.record.log.merkle_tree import (
    EMPTY_ROOT,
    GetNode,
    ProofError,
    appended_nodes,
    consistency_proof,
    inclusion_proof,
    leaf_hash,
    node_hash,
    root,
    root_of,
    verify_consistency,
    verify_inclusion,
)
from tests.suites import ABSENT, SUITES

SUITE = SUITES / "merkle" / "testdata"

# Leaves, roots and proofs of the public RFC 6962 test data (`transparency-dev/merkle`).
LEAVES = [
    leaf_hash(bytes.fromhex(data))
    for data in (
        "",
        "00",
        "10",
        "2021",
        "3031",
        "40414243",
        "5051525354555657",
        "606162636465666768696a6b6c6d6e6f",
    )
]
ROOTS = [
    "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
    "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
    "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
    "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
    "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
    "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
    "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
]
SECOND_AND_THIRD = "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e"
FIFTH = "bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b"
FIFTH_AND_SIXTH = "0ebc5d3437fbe2db158b9f126a1d118e308181031d0a949f8dededebc558ef6a"
LAST_PAIR = "ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0"
FIRST_LEAF_OF_8 = "96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7"
SECOND_HALF = "6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4"
SEVENTH = "b08693ec2e721597130641e8211e7eedccb4c26413963eee6c1e2ed16ffb1a5f"

sizes = st.integers(1, 130)


def stored(leaves: list[bytes]) -> dict[tuple[int, int], bytes]:
    return {(level, index): held for level, index, held in appended_nodes(0, leaves, refuse)}


def refuse(level: int, index: int) -> bytes:
    raise AssertionError(f"({level}, {index}) is not stored")


def reader(leaves: list[bytes]) -> GetNode:
    nodes = stored(leaves)
    return lambda level, index: nodes[level, index]


def entries(count: int) -> list[bytes]:
    return [leaf_hash(str(number).encode()) for number in range(count)]


def probes(kind: str) -> list[Any]:
    return [
        pytest.param(path, id=str(path.relative_to(SUITE / kind)))
        for path in sorted((SUITE / kind).rglob("*.json"))
    ] or [pytest.param(None, marks=pytest.mark.skip(ABSENT))]


def from_base64(text: str) -> bytes:
    return base64.b64decode(text or "")


# The definitions of RFC 6962 2.1, as they stand there: the oracle for the stored nodes.


def plain_split(size: int) -> int:
    split = 1
    while split * 2 < size:
        split *= 2
    return split


def plain_root(leaves: list[bytes]) -> bytes:
    if not leaves:
        return hashlib.sha256().digest()
    if len(leaves) == 1:
        return leaves[0]
    k = plain_split(len(leaves))
    left, right = plain_root(leaves[:k]), plain_root(leaves[k:])
    return hashlib.sha256(b"\x01" + left + right).digest()


def plain_path(m: int, leaves: list[bytes]) -> list[bytes]:
    if len(leaves) == 1:
        return []
    k = plain_split(len(leaves))
    if m < k:
        return [*plain_path(m, leaves[:k]), plain_root(leaves[k:])]
    return [*plain_path(m - k, leaves[k:]), plain_root(leaves[:k])]


def plain_subproof(m: int, leaves: list[bytes], whole: bool) -> list[bytes]:
    if m == len(leaves):
        return [] if whole else [plain_root(leaves)]
    k = plain_split(len(leaves))
    if m <= k:
        return [*plain_subproof(m, leaves[:k], whole), plain_root(leaves[k:])]
    return [*plain_subproof(m - k, leaves[k:], False), plain_root(leaves[:k])]


def test_roots_of_the_public_leaves_are_as_published() -> None:
    """Sizes 0 to 8, in memory and over stored nodes."""
    for size, expected in enumerate(ROOTS):
        assert root_of(LEAVES[:size]).hex() == expected
        assert root(size, reader(LEAVES)).hex() == expected
    assert EMPTY_ROOT.hex() == ROOTS[0]


def test_leaf_and_node_are_hashed_apart_as_published() -> None:
    """A leaf can never pass for a node: the published hashes of L123456 and N123, N456."""
    assert leaf_hash(b"L123456").hex() == (
        "395aa064aa4c29f7010acfe3f25db9485bbd4b91897b6ad7ad547639252b4d56"
    )
    assert node_hash(b"N123", b"N456").hex() == (
        "aa217fe888e47007fa15edab33c2b492a722cb106c64667fc2b044444de66bbb"
    )


@pytest.mark.parametrize(
    ("index", "size", "path"),
    [
        (0, 8, [FIRST_LEAF_OF_8, SECOND_AND_THIRD, SECOND_HALF]),
        (5, 8, [FIFTH, LAST_PAIR, ROOTS[4]]),
        (2, 3, [ROOTS[2]]),
        (1, 5, [ROOTS[1], SECOND_AND_THIRD, FIFTH]),
    ],
)
def test_inclusion_paths_are_as_published(index: int, size: int, path: list[str]) -> None:
    """The inclusion examples of the public test data."""
    proof = inclusion_proof(index, size, reader(LEAVES))
    assert [held.hex() for held in proof] == path
    verify_inclusion(index, size, LEAVES[index], proof, bytes.fromhex(ROOTS[size]))


@pytest.mark.parametrize(
    ("older", "newer", "path"),
    [
        (1, 8, [FIRST_LEAF_OF_8, SECOND_AND_THIRD, SECOND_HALF]),
        (6, 8, [FIFTH_AND_SIXTH, LAST_PAIR, ROOTS[4]]),
        (2, 5, [SECOND_AND_THIRD, FIFTH]),
        (6, 7, [FIFTH_AND_SIXTH, SEVENTH, ROOTS[4]]),
    ],
)
def test_consistency_proofs_are_as_published(older: int, newer: int, path: list[str]) -> None:
    """The consistency examples of the public test data."""
    proof = consistency_proof(older, newer, reader(LEAVES))
    assert [held.hex() for held in proof] == path
    verify_consistency(
        older, newer, bytes.fromhex(ROOTS[older]), bytes.fromhex(ROOTS[newer]), proof
    )


@pytest.mark.parametrize("path", probes("inclusion"))
def test_every_public_inclusion_probe_is_judged_as_published(path: Path) -> None:
    """Accepted where the publisher accepts it, refused where the publisher wants an error."""
    probe = json.loads(path.read_text())
    judge(
        probe["wantErr"],
        lambda: verify_inclusion(
            probe["leafIdx"],
            probe["treeSize"],
            from_base64(probe["leafHash"]),
            [from_base64(held) for held in probe["proof"] or []],
            from_base64(probe["root"]),
        ),
    )


@pytest.mark.parametrize("path", probes("consistency"))
def test_every_public_consistency_probe_is_judged_as_published(path: Path) -> None:
    """Accepted where the publisher accepts it, refused where the publisher wants an error."""
    probe = json.loads(path.read_text())
    judge(
        probe["wantErr"],
        lambda: verify_consistency(
            probe["size1"],
            probe["size2"],
            from_base64(probe["root1"]),
            from_base64(probe["root2"]),
            [from_base64(held) for held in probe["proof"] or []],
        ),
    )


def test_the_public_probes_want_some_accepted_and_most_refused() -> None:
    """Negative control: the test data are there, and hold both valid and invalid proofs."""
    if not SUITE.is_dir():
        pytest.skip(ABSENT)
    for kind in ("inclusion", "consistency"):
        paths = (SUITE / kind).rglob("*.json")
        wanted = [json.loads(path.read_text())["wantErr"] for path in paths]
        assert len(wanted) > 40
        assert 0 < wanted.count(False) < wanted.count(True)


def judge(wants_error: bool, check: Callable[[], None]) -> None:
    if wants_error:
        with pytest.raises(ProofError):
            check()
    else:
        check()


@settings(max_examples=60)
@given(st.data(), sizes)
def test_stored_nodes_give_what_the_plain_definition_gives(data: st.DataObject, size: int) -> None:
    """Root, inclusion and consistency equal the recursive definitions of RFC 6962 2.1."""
    leaves = entries(size + 7)  # later leaves must not disturb earlier proofs
    index = data.draw(st.integers(0, size - 1))
    older = data.draw(st.integers(1, size))
    get_node = reader(leaves)
    assert root(size, get_node) == plain_root(leaves[:size])
    assert inclusion_proof(index, size, get_node) == plain_path(index, leaves[:size])
    assert consistency_proof(older, size, get_node) == plain_subproof(older, leaves[:size], True)


@settings(max_examples=60)
@given(st.lists(st.integers(0, 20), min_size=1, max_size=6))
def test_a_tree_grown_in_batches_is_the_tree_built_at_once(batches: list[int]) -> None:
    """Sealing often or seldom gives the same nodes, each written once."""
    leaves = entries(sum(batches))
    nodes: dict[tuple[int, int], bytes] = {}
    size = 0
    for batch in batches:
        added = appended_nodes(size, leaves[size : size + batch], lambda *at: nodes[at])
        assert not {(level, index) for level, index, _ in added} & set(nodes)
        nodes.update({(level, index): held for level, index, held in added})
        size += batch
    assert nodes == stored(leaves)


def test_work_grows_with_the_logarithm_of_the_log() -> None:
    """In a log of 100,000 entries no proof, root or extension reads more than 2 nodes a level."""
    size = 100_000
    nodes = stored(entries(size))
    reads = 0

    def counted(level: int, index: int) -> bytes:
        nonlocal reads
        reads += 1
        return nodes[level, index]

    for call in (
        lambda: root(size, counted),
        lambda: inclusion_proof(1, size, counted),
        lambda: inclusion_proof(size - 1, size, counted),
        lambda: consistency_proof(1, size, counted),
        lambda: consistency_proof(65_535, size, counted),
        lambda: appended_nodes(size, entries(1), counted),
    ):
        reads = 0
        call()
        assert reads <= 2 * 17  # 2^17 is the first power of two beyond 100,000


@settings(max_examples=60)
@given(st.data(), sizes)
def test_no_changed_byte_of_an_inclusion_proof_passes(data: st.DataObject, size: int) -> None:
    """A true proof holds; the same proof with any one bit of any hash turned does not."""
    leaves = entries(size)
    index = data.draw(st.integers(0, size - 1))
    proof = [leaves[index], root_of(leaves), *inclusion_proof(index, size, reader(leaves))]
    verify_inclusion(index, size, proof[0], proof[2:], proof[1])
    changed = data.draw(with_one_bit_turned(proof))
    with pytest.raises(ProofError):
        verify_inclusion(index, size, changed[0], changed[2:], changed[1])


@settings(max_examples=60)
@given(st.data(), sizes)
def test_no_changed_byte_of_a_consistency_proof_passes(data: st.DataObject, size: int) -> None:
    """A true proof holds; the same proof with any one bit of any hash turned does not."""
    leaves = entries(size)
    older = data.draw(st.integers(1, size))
    proof = [
        root_of(leaves[:older]),
        root_of(leaves),
        *consistency_proof(older, size, reader(leaves)),
    ]
    verify_consistency(older, size, proof[0], proof[1], proof[2:])
    changed = data.draw(with_one_bit_turned(proof))
    with pytest.raises(ProofError):
        verify_consistency(older, size, changed[0], changed[1], changed[2:])


@settings(max_examples=60)
@given(st.data(), st.integers(2, 130))
def test_no_dropped_or_added_hash_passes(data: st.DataObject, size: int) -> None:
    """A proof that is too short, too long or out of order is refused."""
    leaves = entries(size)
    older = data.draw(st.integers(1, size - 1))
    whole = root_of(leaves)
    inclusion = inclusion_proof(older, size, reader(leaves))
    consistency = consistency_proof(older, size, reader(leaves))
    for wrong in misshapen(data, inclusion):
        with pytest.raises(ProofError):
            verify_inclusion(older, size, leaves[older], wrong, whole)
    for wrong in misshapen(data, consistency):
        with pytest.raises(ProofError):
            verify_consistency(older, size, root_of(leaves[:older]), whole, wrong)


def test_a_changed_entry_before_an_older_checkpoint_is_found() -> None:
    """Rewriting history changes the older root, and no proof leads from it to the new log."""
    leaves = entries(20)
    rewritten = [*leaves[:3], leaf_hash(b"another reading"), *leaves[4:]]
    proof = consistency_proof(10, 20, reader(rewritten))
    with pytest.raises(ProofError, match="old entries were changed"):
        verify_consistency(10, 20, root_of(leaves[:10]), root_of(rewritten), proof)


def test_impossible_requests_are_refused_by_their_numbers() -> None:
    """No leaf beyond the end, no tree of fewer than none, no hash of another length."""
    get_node = reader(LEAVES)
    with pytest.raises(ValueError, match="no leaf 8 in a tree of 8"):
        inclusion_proof(8, 8, get_node)
    with pytest.raises(ValueError, match="from 0 to 8"):
        consistency_proof(0, 8, get_node)
    with pytest.raises(ValueError, match="-1 leaves"):
        root(-1, get_node)
    with pytest.raises(ProofError, match="leaf 0 is 20 bytes long"):
        root_of([hashlib.sha1(b"").digest()])


def with_one_bit_turned(proof: list[bytes]) -> st.SearchStrategy[list[bytes]]:
    def turn(at: int, byte: int, bit: int) -> list[bytes]:
        held = bytearray(proof[at])
        held[byte] ^= 1 << bit
        return [*proof[:at], bytes(held), *proof[at + 1 :]]

    return st.builds(turn, st.integers(0, len(proof) - 1), st.integers(0, 31), st.integers(0, 7))


def misshapen(data: st.DataObject, proof: list[bytes]) -> list[list[bytes]]:
    at = data.draw(st.integers(0, len(proof) - 1))
    wrong = [
        proof[:at] + proof[at + 1 :],
        [*proof[:at], proof[at], *proof[at:]],
        [*proof, EMPTY_ROOT],
        [EMPTY_ROOT, *proof],
    ]
    return wrong if proof == proof[::-1] else [*wrong, proof[::-1]]
