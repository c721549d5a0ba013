"""What a person sees who opens verify.html from a bundle, without a network, in a browser.

The page is opened from a file, as a person opens it. It must find what verifier.py finds: the same
codes, files and numbers of times, in the same words, with the same verdict.
"""

import json
import random
import zipfile
from pathlib import Path

import pytest
from playwright.sync_api import Page

from prep.record.log import signed_notes
from reports.bundles import verifier
from tests.campaigns.forged_bag import packed
from tests.campaigns.forger import forge
from tests.campaigns.genuine import Yards, genuine
from tests.pages.browser import CHROMIUM
from tests.reports.bundles.html_verifier import (
    ONLY_HERE,
    ONLY_THERE,
    OTHERWISE,
    PAGE,
    agree,
    chosen,
    files_in,
    page,
    zipped,
)
from tests.reports.bundles.invented_log import (
    ENTRIES,
    FORGER,
    NAME,
    OTHER,
    PUBLISHED,
    UNIT,
    Log,
    bundle,
    contents,
    in_parts,
)

__all__ = ["genuine", "page"]

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(not CHROMIUM.exists(), reason="needs Chromium at /usr/bin/chromium"),
]


def test_both_have_one_table_of_findings(page: Page) -> None:
    """Codes, their statuses and their sentences, but for what a browser has to say otherwise."""
    page.goto(PAGE.as_uri())
    here = page.evaluate("FINDINGS")
    there = {code: list(one) for code, one in verifier.FINDINGS.items()}
    assert set(here) - set(there) == ONLY_HERE
    assert set(there) - set(here) == ONLY_THERE
    for code in set(here) & set(there):
        assert here[code][0] == there[code][0]
        if code not in OTHERWISE:
            assert here[code][1] == there[code][1]
    assert tuple(page.evaluate("VERDICTS")) == verifier.VERDICTS


def test_a_true_bundle_holds(
    page: Page, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """With the published key; with its own the key stays open; in parts."""
    assert agree(page, capsys, bundle(tmp_path))[0] == 0
    assert page.inner_text("#verdict") == "Everything holds."
    assert agree(page, capsys, bundle(tmp_path), key="")[0] == 2
    assert agree(page, capsys, bundle(tmp_path, in_parts()))[0] == 0
    assert agree(page, capsys, bundle(tmp_path), digest="0" * 64)[0] == 0


@pytest.mark.parametrize(
    ("name", "change"),
    [
        ("events.jsonl", (b'"450"', b'"455"')),
        ("readings.csv", (b"450", b"451")),
        ("units.csv", (b"TC00001", b"TC00002")),
        ("proof/inclusion.jsonl", (b'"index":3', b'"index":4')),
        ("proof/inclusion.jsonl", (b'"index":3', b'"index":3.0')),
        ("proof/inclusion.jsonl", (b'"index":3', b'"index":true')),
        ("proof/inclusion.jsonl", (b'"index":3', b'"index":-1')),
        ("proof/inclusion.jsonl", (b'"index":3', b'"index":' + b"9" * 5000)),
        ("proof/inclusion.jsonl", (b'"path":["', b'"path":["AAAA')),
        ("proof/inclusion.jsonl", (b'"path":["', b'"path":["?')),
        ("proof/inclusion.jsonl", (b"\n{", b"{")),
        ("proof/checkpoint.txt", (b"\n13\n", b"\n14\n")),
        ("proof/checkpoint.txt", (b"\n13\n", b"\n013\n")),
        ("proof/checkpoint.txt", (b"\n13\n", b"\n" + b"9" * 5000 + b"\n")),
        ("proof/keys.txt", (b"yard", b"card")),
        ("index.html", (b"invented", b"forged")),
    ],
)
def test_what_the_logs_keeper_signed_is_still_held_to_the_events(
    page: Page,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    name: str,
    change: tuple[bytes, bytes],
) -> None:
    """A bundle made with the key itself; a page alone could say anything then."""
    payload = contents()
    assert change[0] in payload[name]
    payload[name] = payload[name].replace(*change)
    code, _ = agree(page, capsys, bundle(tmp_path, payload))
    assert code == (0 if name == "index.html" else 1)


@pytest.mark.parametrize("name", sorted(contents()))
def test_a_file_left_out_or_made_empty_is_named(
    page: Page, tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str
) -> None:
    """Of the payload, by whoever has the key."""
    payload = contents()
    held = payload.pop(name)
    assert agree(page, capsys, bundle(tmp_path, payload))[0] == 1
    for junk in (b"", b"\xff", b"\x00\n", held + held):
        agree(page, capsys, bundle(tmp_path, {**payload, name: junk}))


@pytest.mark.parametrize(
    "name",
    [
        "x.txt",
        "é.txt",
        "\N{TRACTOR}.txt",
        "photos/TC00001-0a0a0a0a/001.jpg",
        "certificates/TC00001-0a0a0a0a/C1.pdf",
        "readings-2.csv",
    ],
)
def test_a_file_put_in_is_named(
    page: Page, tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str
) -> None:
    """Though it is signed."""
    payload = contents()
    payload[name] = payload["readings.csv"]
    assert agree(page, capsys, bundle(tmp_path, payload))[0] == 1


@pytest.mark.parametrize(
    "junk",
    [
        b"\n",
        b'"',
        b'"a',
        b"a,b\n1\n",
        b"unit\r\n" + b"x" * 200_000,
        b"unit,unit\n1,2\n",
        b'unit\n"a"b\n',
        b'unit\n"a\nb"\n',
        b"unit\rx\n",
        b"unit\n\n",
        b"unit",
    ],
)
def test_a_table_that_is_none_is_said(
    page: Page, tmp_path: Path, capsys: pytest.CaptureFixture[str], junk: bytes
) -> None:
    """RFC 4180 read strictly, in both alike."""
    for name in ("readings.csv", "units.csv"):
        agree(page, capsys, bundle(tmp_path, {**contents(), name: junk}))


@pytest.mark.parametrize(
    "junk",
    [
        b"\n",
        b"[]\n",
        b"null\n",
        b"[" * 100_000 + b"\n",
        b'{"a":' * 50_000 + b"\n",
        b'{"index":' + b"9" * 5000 + b"}\n",
        b'{"a":1,"a":2}\n',
        b"NaN\n",
        b'"\\ud800"\n',
        b'{"stream":"unit","id":"x","version":true,"recorded":"x"}\n',
        b'{"index":0,"path":""}\n',
        b'{"__proto__":{"index":0}}\n',
        b"x" * (1 << 22),
    ],
    ids=lambda junk: repr(junk[:24]),
)
def test_lines_that_are_no_event_or_proof_are_said(
    page: Page, tmp_path: Path, capsys: pytest.CaptureFixture[str], junk: bytes
) -> None:
    """Alone and behind true ones: deep, long, twice, half a character."""
    for name in ("events.jsonl", "proof/inclusion.jsonl"):
        for held in (junk, contents()[name] + junk):
            assert agree(page, capsys, bundle(tmp_path, {**contents(), name: held}))[0] == 1


def test_events_left_out_doubled_or_in_another_order_are_found(
    page: Page, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each line gone, all turned round, streams of another bundle."""
    for name in ("events.jsonl", "proof/inclusion.jsonl"):
        lines = contents()[name].splitlines(keepends=True)
        changed = [lines[:at] + lines[at + 1 :] for at in range(len(lines))] + [lines[::-1]]
        for held in changed:
            payload = {**contents(), name: b"".join(held)}
            assert agree(page, capsys, bundle(tmp_path, payload))[0] == 1
    for streams in (
        {("unit", UNIT): 3},
        {("unit", UNIT): 4, ("unit", OTHER): 2, ("wording", "a" * 64): 1},
    ):
        assert agree(page, capsys, bundle(tmp_path, streams=streams))[0] == 1


def test_another_key_than_the_logs_is_found(
    page: Page, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A forger's, in the bundle or in the field; and what is no key at all."""
    forged = bundle(tmp_path, log=Log(ENTRIES, FORGER))
    assert agree(page, capsys, forged)[0] == 1
    agree(page, capsys, forged, key="")
    other = signed_notes.verifier_key("yard.example/log", FORGER).text
    for key in (other, "x", "a+b+c", f"{PUBLISHED[:-4]}AAA="):
        assert agree(page, capsys, bundle(tmp_path), key=key)[0] == 1


def test_a_file_changed_in_the_zip_is_named(
    page: Page, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Every file, in ways that any program could; only a repacked one is otherwise whole."""
    files, path = files_in(bundle(tmp_path)), tmp_path / "zip.zip"
    assert agree(page, capsys, zipped(path, files))[1] >= {"zip-repacked", "files-signed"}
    agree(page, capsys, zipped(path, files, zipfile.ZIP_DEFLATED))
    for name, held in files.items():
        for content in (b"", held + b"x", held.replace(b"a", b"b", 1), b"\xff\xfe", b"\n"):
            assert agree(page, capsys, zipped(path, {**files, name: content}))[0] == 1
        left = {other: content for other, content in files.items() if other != name}
        assert agree(page, capsys, zipped(path, left))[0] == 1


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("audit A0", "audit A1"),
        ("until -", "until 2026-04-01T09:02:00.000000Z"),
        ("bag audit", "bag xudit"),
        ("cut 13", "cut 12"),
        ("cut 13", "cut " + "9" * 5000),
        ("stream unit", "stream wording"),
        ("document audit", "document poem"),
        ("Yardproof bundle", "Yardproof certificate"),
        ("\n\n", "\n"),
        ("— ", "- "),
    ],
)
def test_a_changed_statement_is_found(
    page: Page, tmp_path: Path, capsys: pytest.CaptureFixture[str], old: str, new: str
) -> None:
    """Word by word."""
    files = files_in(bundle(tmp_path))
    name = f"{NAME}/signature.txt"
    files[name] = files[name].decode().replace(old, new, 1).encode()
    assert agree(page, capsys, zipped(tmp_path / "zip.zip", files))[0] == 1


def test_a_zip_that_is_none_or_built_to_harm_is_said(
    page: Page, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Other folders, paths that lead out, bombs, what stands before and behind it."""
    whole = bundle(tmp_path)
    files, raw, path = files_in(whole), whole.read_bytes(), tmp_path / "zip.zip"
    renamed = {name.replace(NAME, "other"): held for name, held in files.items()}
    for changed in (renamed, {**files, "b/x": b"x"}, {**files, f"{NAME}/../x": b"x"}):
        assert agree(page, capsys, zipped(path, changed))[0] == 1
    bomb = zipped(path, {f"{NAME}/x": b"\0" * 50_000_000}, zipfile.ZIP_DEFLATED).read_bytes()
    for content in (bomb, b"PK", b"PK\x05\x06", raw + b"junk", raw[:-1], raw[: len(raw) // 2]):
        path.write_bytes(content)
        assert agree(page, capsys, path)[0] == 1


def test_no_broken_zip_is_judged_differently(
    page: Page, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Bits flipped, pieces cut out, put in and blanked, anywhere: same verdict, no error."""
    whole, path, chance = bundle(tmp_path).read_bytes(), tmp_path / "zip.zip", random.Random(7)
    for _ in range(80):
        content, place = bytearray(whole), chance.randrange(len(whole))
        match chance.randrange(4):
            case 0:
                content[place] ^= 1 << chance.randrange(8)
            case 1:
                del content[place : place + chance.choice([1, 10, 1000])]
            case 2:
                content[place:place] = chance.randbytes(chance.choice([1, 9]))
            case _:
                content[place : place + 50] = bytes(len(content[place : place + 50]))
        if content == whole:
            continue
        path.write_bytes(content)
        verifier.main([str(path), "--json", "--key", PUBLISHED])
        printed = json.loads(capsys.readouterr().out)
        assert chosen(page, path)["exit"] == printed["exit"] == 1, place


@pytest.mark.django_db  # has the tables made, which the bundles are made from
def test_forged_bundles_are_found_alike(
    page: Page, tmp_path: Path, capsys: pytest.CaptureFixture[str], genuine: Yards
) -> None:
    """Registrations and audits as the service makes them, and what a forger makes of them."""
    path = tmp_path / "bundle.zip"
    for one in genuine.bundles.values():
        path.write_bytes(one.packed)
        assert agree(page, capsys, path, key=genuine.key)[0] == 0
        assert agree(page, capsys, path, key="")[0] == 2
    for number in range(24):
        chance = random.Random(f"browser {number}")
        name = chance.choice(sorted(genuine.bundles))
        others = [one for title, one in genuine.bundles.items() if title != name]
        path.write_bytes(packed(forge(genuine.bundles[name], others, chance)))
        agree(page, capsys, path, key=genuine.key)
