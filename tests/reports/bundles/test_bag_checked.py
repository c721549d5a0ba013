"""A bag that was changed, forged or packed to harm is found (BagIt 1.0, RFC 8493)."""

import hashlib
import shutil
import zipfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reports.bundles.verifier import Bag, CheckError, Files, check_wrapper
from tests.reports.bundles.invented_bags import (
    PAYLOAD,
    SUITE,
    faults_of,
    is_sound,
    packed,
    unpacked,
)
from tests.suites import ABSENT


@pytest.mark.parametrize(
    ("case", "words"),
    [
        ("valid/basicBag", ""),
        ("invalid/bagit-with-invalid-whitespace", "not exactly as BagIt 1.0 wants it"),
        ("invalid/notAllManifestsListAllFiles", "in the bag but not in manifest-sha512.txt"),
        ("invalid/same-filename-listed-twice-with-different-hashes", "not exactly as BagIt 1.0"),
        ("invalid/same-filename-listed-twice-with-the-same-hash", "README twice"),
    ],
)
def test_the_public_bags_are_judged_as_published(case: str, words: str) -> None:
    """The 1.0 bags of the public conformance suite; the fourth has a faulty bagit.txt as well."""
    if not SUITE.is_dir():
        pytest.skip(ABSENT)
    if words:
        assert words in faults_of(SUITE / case)
    else:
        assert Bag(Files(SUITE / case)).check() == 1


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """An unpacked bag that is sound."""
    made = unpacked(packed(PAYLOAD), tmp_path)
    assert is_sound(made)
    return made


def remake(folder: Path, name: str, content: str) -> None:
    """Change a tag file and put its new digest into the tag manifest, as a forger would."""
    old = (folder / name).read_bytes()
    (folder / name).write_text(content, encoding="utf-8", newline="")
    manifest = folder / "tagmanifest-sha256.txt"
    was, now = (hashlib.sha256(held).hexdigest() for held in (old, content.encode()))
    manifest.write_text(manifest.read_text().replace(was, now))


def test_a_lost_or_added_or_renamed_file_is_found(folder: Path) -> None:
    """Each named in the sentence."""
    (folder / "data/extra.txt").write_text("slipped in")
    assert "data/extra.txt is in the bag but not in" in faults_of(folder)
    (folder / "data/extra.txt").unlink()
    (folder / "data/certificate.pdf").rename(folder / "data/Certificate.pdf")
    assert "lists data/certificate.pdf, which is not in its place" in faults_of(folder)
    (folder / "data/Certificate.pdf").rename(folder / "data/certificate.pdf")
    (folder / "note.txt").write_text("slipped in")
    assert "note.txt is in the bag but not in tagmanifest" in faults_of(folder)


@pytest.mark.parametrize(
    ("name", "right", "wrong", "words"),
    [
        ("manifest-sha256.txt", "data/proof", "data/../proof", "not in its place"),
        ("manifest-sha256.txt", "data/proof", "/data/proof", "not in its place"),
        ("manifest-sha256.txt", "  data/proof", "\tdata/proof", "no digest and file"),
        ("manifest-sha256.txt", "  data/proof", "  bagit.txt\n", "not in its place"),
        ("bag-info.txt", "Payload-Oxum: 48", "Payload-Oxum: 49", "states Payload-Oxum 49"),
        ("bagit.txt", "1.0", "0.97", "not exactly as BagIt 1.0"),
        ("bagit.txt", "BagIt", "\ufeffBagIt", "not exactly as BagIt 1.0"),
    ],
)
def test_a_forged_tag_file_is_found_even_with_its_digest_remade(
    folder: Path, name: str, right: str, wrong: str, words: str
) -> None:
    """The rules of RFC 8493 hold on their own, not only through digests."""
    text = (folder / name).read_text(encoding="utf-8")
    assert right in text
    remake(folder, name, text.replace(right, wrong, 1))
    assert words in faults_of(folder)


def test_upper_case_digests_are_not_a_second_spelling(folder: Path) -> None:
    """Else a changed byte in the outermost manifest could pass."""
    manifest = folder / "tagmanifest-sha256.txt"
    manifest.write_text(manifest.read_text().replace("a", "A", 1))
    assert "tagmanifest-sha256.txt has a line that is no digest" in faults_of(folder)


def test_fetching_and_weak_or_missing_manifests_are_refused(folder: Path) -> None:
    """All must be in the bag, under a digest that proves something today."""
    (folder / "fetch.txt").write_text("https://x.example/a - data/a\n")
    assert "fetched from elsewhere" in faults_of(folder)
    (folder / "fetch.txt").unlink()
    (folder / "manifest-md5.txt").write_text("")
    assert "manifest-md5.txt is of a kind that proves nothing today" in faults_of(folder)
    (folder / "manifest-md5.txt").unlink()
    (folder / "tagmanifest-sha256.txt").unlink()
    assert "has no tagmanifest" in faults_of(folder)


def test_a_link_in_a_folder_is_refused(folder: Path) -> None:
    """It would show a file of the reader's own machine."""
    (folder / "data/link").symlink_to(folder / "bagit.txt")
    with pytest.raises(CheckError, match="is a link or a device"):
        Files(folder)


def test_an_encoded_percent_sign_in_a_name_is_read_as_one(folder: Path) -> None:
    """RFC 8493 2.1.3: CR, LF and percent sign are encoded in manifests; we write none of them."""
    (folder / "data/empty.txt").rename(folder / "data/100% greased.txt")
    text = (folder / "manifest-sha256.txt").read_text(encoding="utf-8")
    remake(folder, "manifest-sha256.txt", text.replace("data/empty.txt", "data/100%25 greased.txt"))
    assert Bag(Files(folder)).check() == 4


@pytest.mark.parametrize(
    ("name", "mode", "words"),
    [
        ("unit-7/../../evil", 0o100644, "leads elsewhere"),
        ("/unit-7/evil", 0o100644, "leads elsewhere"),
        ("", 0o100644, "leads elsewhere"),
        ("unit-7/data/~", 0o120777, "a link"),
        ("other/file", 0o100644, "one folder"),
        ("unit-7/bagit.txt", 0o100644, "two files of one name"),
    ],
)
@pytest.mark.filterwarnings("ignore:Duplicate name:UserWarning")  # the forger is warned, not us
def test_a_hostile_zip_is_refused_before_anything_is_read(
    tmp_path: Path, name: str, mode: int, words: str
) -> None:
    """Paths that leave the folder, links, two bags, two files of one name."""
    path = tmp_path / "bag.zip"
    path.write_bytes(packed(PAYLOAD))
    entry = zipfile.ZipInfo(name)
    entry.create_system, entry.external_attr = 3, mode << 16
    with zipfile.ZipFile(path, "a") as archive:
        archive.writestr(entry, b"x")
    with pytest.raises(CheckError, match=words):
        Files(path)


def test_a_zip_bomb_is_refused_before_it_is_unpacked(tmp_path: Path) -> None:
    """100 MB of zeros in 100 KB."""
    path = tmp_path / "bag.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("unit-7/data/zeros", bytes(100_000_000))
    with pytest.raises(CheckError, match="far more than it is"):
        Files(path)


def test_a_bag_packed_again_by_hand_is_sound_as_a_folder_only(tmp_path: Path) -> None:
    """Its files hold; the ZIP around them is another, and the person is told what to do."""
    folder = unpacked(packed(PAYLOAD), tmp_path / "unpacked")
    again = Path(shutil.make_archive(str(tmp_path / "again"), "zip", folder.parent))
    files = Files(again)
    assert Bag(files).check() == 4
    with pytest.raises(CheckError, match="unpack it and check the folder"):
        check_wrapper(again, files)


@settings(max_examples=100)
@given(st.data())
def test_any_changed_byte_of_the_zip_is_found(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    """In contents, names, dates, sums or the table at the end."""
    content = bytearray(packed(PAYLOAD))
    place = data.draw(st.integers(0, len(content) - 1))
    content[place] ^= data.draw(st.integers(1, 255))
    path = tmp_path_factory.mktemp("zip") / "bag.zip"
    path.write_bytes(content)
    assert not is_sound(path)
    path.unlink()


@settings(max_examples=60)
@given(st.data())
def test_any_changed_byte_of_an_unpacked_file_is_found(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    """In the payload as in every manifest, to whatever value."""
    folder = unpacked(packed(PAYLOAD), tmp_path_factory.mktemp("bag"))
    files = sorted(path for path in folder.rglob("*") if path.is_file() and path.stat().st_size)
    path = data.draw(st.sampled_from(files))
    content = bytearray(path.read_bytes())
    place = data.draw(st.integers(0, len(content) - 1))
    content[place] ^= data.draw(st.integers(1, 255))
    path.write_bytes(content)
    assert not is_sound(folder)
    shutil.rmtree(folder)


def test_bytes_after_the_end_or_missing_from_it_are_found(tmp_path: Path) -> None:
    """A longer and a shorter file than the one issued."""
    path = tmp_path / "bag.zip"
    for content in (packed(PAYLOAD) + b"\0", packed(PAYLOAD)[:-1], b"PK" + packed(PAYLOAD)):
        path.write_bytes(content)
        assert not is_sound(path)
