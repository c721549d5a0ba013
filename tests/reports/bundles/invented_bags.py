"""Small invented bags, and what our check says of them."""

import io
import unicodedata
import zipfile
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import BinaryIO

from hypothesis import strategies as st

from reports.bundles import bag
from reports.bundles.bag import BagError, write_bag
from reports.bundles.verifier import Bag, CheckError, Files, check_wrapper
from tests.suites import SUITES

SUITE = SUITES / "bagit" / "v1.0"
INFO = [("Source-Organization", "Example Yard (invented)"), ("Bagging-Date", "2026-04-01")]
PAYLOAD = {
    "certificate.pdf": b"%PDF- an invented certificate",
    "proof/keys.txt": b"none",
    "photos/aile gauche é.jpg": b"\xff\xd8 a photograph",
    "empty.txt": b"",
}


def is_allowed(path: str) -> bool:
    try:
        bag.check_path(path)
    except BagError:
        return False
    return True


file_names = st.text(
    st.characters(codec="utf-8", categories=("L", "N", "P", "S", "Zs")), min_size=1, max_size=12
).filter(is_allowed)


payloads = st.lists(
    st.tuples(file_names, st.binary(max_size=300)),
    min_size=1,
    max_size=5,
    unique_by=lambda entry: unicodedata.normalize("NFC", entry[0].casefold()),
).map(dict)


def opener(content: bytes) -> Callable[[], BinaryIO]:
    return lambda: io.BytesIO(content)


def packed(payload: dict[str, bytes], tag_files: Iterable[tuple[str, bytes]] = ()) -> bytes:
    target = io.BytesIO()
    entries = [(path, opener(content)) for path, content in payload.items()]
    write_bag(target, "unit-7", entries, info=INFO, tag_files=tag_files)
    return target.getvalue()


def unpacked(content: bytes, folder: Path) -> Path:
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        archive.extractall(folder)
    return folder / "unit-7"


def is_sound(path: Path) -> bool:
    """Whether the strict check lets a ZIP or a folder pass."""
    try:
        files = Files(path)
    except CheckError:
        return False
    try:
        Bag(files).check()
        if files.archive:
            check_wrapper(path, files)
    except CheckError:
        return False
    finally:
        files.close()
    return True


def faults_of(folder: Path) -> str:
    faults = list(Bag(Files(folder)).faults())
    assert faults
    return "\n".join(map(str, faults))
