"""Reading finished PDFs with other programs: text, pages as pictures, QR codes, PDF/A check."""

import io
import shutil
import subprocess
from pathlib import Path
from typing import Final

import pikepdf
import pytest
from PIL import Image
from pypdf import PdfReader

POPPLER: Final = ("pdftotext", "pdffonts", "pdftoppm")
needs_poppler = pytest.mark.skipif(
    not all(map(shutil.which, POPPLER)), reason="needs the PDF tools of Poppler"
)
needs_zbar = pytest.mark.skipif(
    not shutil.which("zbarimg"), reason="needs the bar code reader of ZBar"
)
needs_tools = pytest.mark.skipif(
    not (shutil.which("pdftoppm") and shutil.which("zbarimg")),
    reason="needs pdftoppm (poppler-utils) and zbarimg (zbar-tools)",
)


def words(pdf: bytes) -> str:
    """The text of every page, as a program reads it."""
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)


def in_order(text: str, *parts: str) -> None:
    """Each part follows the one before it."""
    place = 0
    for part in parts:
        assert part in text[place:], f"“{part}” does not follow"
        place = text.index(part, place) + len(part)


def pictures(pdf: bytes, folder: Path, dots: int = 200) -> list[Image.Image]:
    """Every page in greys, at `dots` to the inch, as an office printer lays them down."""
    (folder / "printed.pdf").write_bytes(pdf)
    command = ["pdftoppm", "-gray", "-r", str(dots), "-png", "printed.pdf", "printed"]
    subprocess.run(command, cwd=folder, check=True)
    found = []
    for path in sorted(folder.glob("printed-*.png")):
        with Image.open(path) as opened:
            found.append(opened.convert("L"))
        path.unlink()
    return found


def qr_texts(images: list[Image.Image], folder: Path) -> list[str]:
    """What the QR codes of some pictures say, in order; a picture without one adds nothing."""
    names = []
    for number, image in enumerate(images):
        names.append(f"code-{number:03d}.png")
        image.save(folder / names[-1])
    command = ["zbarimg", "-q", "--raw", "-Sdisable", "-Sqrcode.enable", *names]
    # It ends with a failure where a picture holds no code, which is for the caller to notice.
    said = subprocess.run(command, cwd=folder, check=False, capture_output=True, text=True)
    return said.stdout.splitlines()


def run(command: list[str], pdf: bytes, folder: Path) -> str:
    """What a command says of a PDF whose path stands for “PDF” in it."""
    path = folder / "certificate.pdf"
    path.write_bytes(pdf)
    filled = [str(path) if word == "PDF" else word for word in command]
    return subprocess.run(filled, check=True, capture_output=True, cwd=folder).stdout.decode()


def pages_of(pdf: bytes, folder: Path) -> list[str]:
    """The text of each page in the order it was drawn, by Poppler."""
    return run(["pdftotext", "-raw", "PDF", "-"], pdf, folder).split("\f")[:-1]


def unspaced(text: str) -> str:
    """Text without any white space: a cell breaks its lines where it must."""
    return "".join(text.split())


def verdict(pdf: bytes) -> str:
    """What pikepdf's checker of PDF/A-3b says of a finished file: pass, fail or not_checked."""
    verdict = pikepdf.pdfa.validate_written(io.BytesIO(pdf), "3b").verdict
    return str(getattr(verdict, "value", verdict))
