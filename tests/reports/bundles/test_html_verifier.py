"""What a person sees who opens verify.html from a bundle, without a network, in a browser.

The page is opened from a file, as a person opens it. It must find what verifier.py finds: the same
codes, files and numbers of times, in the same words, with the same verdict.
"""

import hashlib
import json
import random
import re
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Browser, Page

from prep.record.log import merkle_tree, signed_notes
from reports.bundles import verifier
from tests.campaigns.forger import forge, packed
from tests.campaigns.genuine import Yards, genuine
from tests.pages.browser import CHROMIUM
from tests.reports.bundles.invented_log import (
    ENTRIES,
    FORGER,
    LOG,
    NAME,
    OTHER,
    PUBLISHED,
    UNIT,
    Log,
    bundle,
    contents,
    event,
    in_parts,
)

__all__ = ["genuine"]

PAGE: Final = Path(verifier.__file__).with_name("verify.html")
Finding = tuple[str, str, str, int, str]
# What is said otherwise, because a browser is no command: options to type, and the errors of
# another library.
OTHERWISE: Final = {
    "certificate-key-inside",
    "key-inside",
    "no-ed25519",
    "not-opened",
    "not-readable",
    "older-no-proof",
    "only-kept-elsewhere",
    "table-unreadable",
    "zip-repacked",
}
ONLY_HERE: Final = {"browser-too-small", "nothing-to-check"}
ONLY_THERE: Final = {"folder-renamed", "issue-folder", "link"}

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(not CHROMIUM.exists(), reason="needs Chromium at /usr/bin/chromium"),
]


@pytest.fixture(scope="module")
def page(browser: Browser) -> Iterator[Page]:
    """A browser without a network, for all tests of this file; the page throws no error."""
    context = browser.new_context(offline=True)
    wrong: list[str] = []
    opened = context.new_page()
    opened.on("pageerror", lambda error: wrong.append(str(error)))
    yield opened
    context.close()
    assert wrong == []


def found_by(outcome: dict[str, Any]) -> tuple[int, list[Finding]]:
    """Exit code and findings, as far as both verifiers must agree."""
    return outcome["exit"], sorted(
        (
            one["status"],
            one["code"],
            one["file"],
            one["times"],
            "" if one["code"] in OTHERWISE else one["text"],
        )
        for one in outcome["findings"]
    )


def chosen(page: Page, *files: Path, key: str = PUBLISHED, digest: str = "") -> Any:
    """What the page finds of files."""
    page.goto(PAGE.as_uri())
    page.fill("#key", key)
    page.evaluate("text => { document.getElementById('digest').value = text }", digest)
    page.set_input_files("#files", [str(file) for file in files])
    page.wait_for_selector("#verdict[data-code]")
    return page.evaluate("outcome")


def agree(
    page: Page,
    capsys: pytest.CaptureFixture[str],
    path: Path,
    *options: str,
    key: str = PUBLISHED,
    more: tuple[Path, ...] = (),
    digest: str = "",
) -> tuple[int, set[str]]:
    """Exit code and codes that both verifiers find of a file."""
    given = ["--key", key] if key else []
    given += ["--digest", digest] if digest else []
    verifier.main([str(path), "--json", *given, *options])
    printed = json.loads(capsys.readouterr().out)
    here, there = found_by(chosen(page, path, *more, key=key, digest=digest)), found_by(printed)
    assert set(here[1]) ^ set(there[1]) == set()
    assert here == there
    return printed["exit"], {one["code"] for one in printed["findings"]}


def zipped(path: Path, files: dict[str, bytes], packing: int = zipfile.ZIP_STORED) -> Path:
    """Files packed by another program."""
    with zipfile.ZipFile(path, "w", packing) as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    return path


def files_in(path: Path) -> dict[str, bytes]:
    """The files of a ZIP."""
    with zipfile.ZipFile(path) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


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


@pytest.mark.django_db  # has the tables made, which the certificate is made from
def test_certificates_alone_are_found_alike(
    page: Page, tmp_path: Path, capsys: pytest.CaptureFixture[str], issued: Any
) -> None:
    """True, painted over, cut, lengthened, its statement gone, doubled, moved."""
    path, key = tmp_path / "certificate.pdf", issued.keys[0]
    path.write_bytes(issued.pdf)
    assert agree(page, capsys, path, key=key)[0] == 0
    assert agree(page, capsys, path, key=key, digest=issued.digest)[0] == 0
    assert agree(page, capsys, path, key=key, digest="0" * 64)[0] == 1
    assert agree(page, capsys, path, key="")[0] == 2
    assert agree(page, capsys, path, key=PUBLISHED)[0] == 1
    pdf, mark = issued.pdf, b"<yardproof-statement>"
    for changed in (
        pdf + b" ",
        pdf + pdf,
        pdf[:-40],
        pdf[: len(pdf) // 2],
        pdf.replace(mark, b"<yardproof-statament>"),
        pdf.replace(mark, b"<yardproof-statement>\n<yardproof-statement>"),
        pdf.replace(b"document certificate C", b"document certificate D"),
        pdf.replace(b"/EmbeddedFile", b"/EmbeddedFolk"),
        pdf.replace(b"endstream", b"enddream"),
        b"%PDF-1.7 nothing",
        b"%PDF" + b"/Type /EmbeddedFile stream\n" * 2000,
    ):
        path.write_bytes(changed)
        assert agree(page, capsys, path, key=key)[0] == 1
    chance = random.Random(3)
    for _ in range(20):
        place = chance.randrange(5, len(pdf))
        path.write_bytes(pdf[:place] + bytes([pdf[place] ^ 1]) + pdf[place + 1 :])
        assert chosen(page, path, key=key)["exit"] == 1, place


def test_checkpoints_that_were_kept_are_held_to_the_newer(
    page: Page, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """With its proof, without, and of a log whose past was rewritten."""
    older, proof, path = tmp_path / "older.txt", tmp_path / "proof.txt", bundle(tmp_path)
    older.write_text(Log(ENTRIES[:6]).note, encoding="utf-8")
    proof.write_text(LOG.proof_from(6), encoding="utf-8")
    with_older = ("--older", str(older))
    with_proof = (*with_older, "--proof", str(proof))
    assert agree(page, capsys, path, *with_proof, more=(older, proof))[0] == 0
    assert agree(page, capsys, path, *with_older, more=(older,))[0] == 2
    rewritten = Log([*ENTRIES[:4], b"another reading", *ENTRIES[5:]])
    path = bundle(tmp_path, contents(rewritten), log=rewritten)
    assert agree(page, capsys, path, *with_proof, more=(older, proof))[0] == 1
    newer = tmp_path / "newer.txt"
    newer.write_text(LOG.note, encoding="utf-8")
    assert agree(page, capsys, newer, *with_proof, more=(older, proof))[0] == 0


def test_a_proof_of_issue_is_held_to_its_bundle(
    page: Page, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The one of this very file; of another number, another file; cut short."""
    path, proof = bundle(tmp_path), tmp_path / "bundle.tlog-proof"
    body = {
        "document_kind": "audit",
        "number": NAME.removeprefix("audit-"),
        "digest": hashlib.sha256(path.read_bytes()).hexdigest(),
        "bag": hashlib.sha256(files_in(path)[f"{NAME}/tagmanifest-sha256.txt"]).hexdigest(),
    }
    others: tuple[dict[str, str], ...] = ({"digest": "0" * 64}, {"number": "A1"}, {})
    for other in others:
        issued = event(1, "document.issued", {**body, **other}, OTHER)
        log = Log([*ENTRIES, issued])
        hashes = merkle_tree.inclusion_proof(len(ENTRIES), len(ENTRIES) + 1, log.at)
        text = signed_notes.format_proof(len(ENTRIES), hashes, log.note, issued)
        proof.write_text(text, encoding="utf-8")
        code, codes = agree(page, capsys, path, "--issue", str(proof), more=(proof,))
        assert (code, "issue-proven" in codes) == ((1, False) if other else (0, True))
    proof.write_text(text[:300], encoding="utf-8")
    assert agree(page, capsys, path, "--issue", str(proof), more=(proof,))[0] == 1


def test_without_the_signature_in_the_browser_nothing_is_said_to_hold(
    browser: Browser, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """An older browser: like a Python without the package, "not checked"."""
    context = browser.new_context(offline=True)
    page = context.new_page()
    page.add_init_script(
        "crypto.subtle.importKey = async () => { throw new DOMException('', 'NotSupportedError') }"
    )
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(verifier, "HAS_ED25519", False)
        code, codes = agree(page, capsys, bundle(tmp_path))
    assert code == 2
    assert "no-ed25519" in codes
    assert "Everything holds." not in page.inner_text("body")
    context.close()


def test_the_page_shows_what_is_bound_by_what(page: Page, tmp_path: Path) -> None:
    """As a picture, in words for whoever hears it, narrow and on paper."""
    chosen(page, bundle(tmp_path, {**contents(), "readings.csv": b"unit\n"}))
    parts = {
        part.get_attribute("data-part"): part.get_attribute("class")
        for part in page.locator("#picture [data-part]").all()
    }
    assert (parts["key"], parts["events"], parts["compared"]) == ("good", "good", "bad")
    assert "The key signs the statement." in page.inner_text("#picture-text")
    page.set_viewport_size({"width": 360, "height": 760})
    assert page.evaluate("document.documentElement.scrollWidth") == 360
    page.emulate_media(media="print")
    assert page.is_visible("#picture svg")
    assert not page.is_visible("#key")
    page.emulate_media(media="screen")


def test_what_it_cannot_read_it_asks_for_again(page: Page, tmp_path: Path) -> None:
    """Neither a bundle, a certificate nor a checkpoint; and nothing it says is markup."""
    path = tmp_path / "<img src=x onerror=alert(1)>.txt"
    path.write_bytes(b"\xff\xfe")
    assert chosen(page, path)["exit"] == 1
    assert page.locator("img").count() == 0
    path.write_text("QUJD", encoding="utf-8")
    assert chosen(page, path)["exit"] == 2


def test_the_page_loads_and_sends_nothing(page: Page) -> None:
    """It may not by its own rule, and refers to nothing."""
    page.goto(PAGE.as_uri())
    content = PAGE.read_text(encoding="utf-8")
    assert "default-src 'none'" in content
    assert not re.search(r"\b(?:src|href)=|fetch\(|XMLHttpRequest|import\(|eval\(", content)
