"""What a certificate is as a file: archival, its fonts embedded, the same bytes whenever made."""

import hashlib
import os
import pickle
import subprocess
import sys
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import pikepdf
import pytest
from pikepdf import Name
from reportlab.pdfgen.canvas import Canvas

from reports.certificate.document import certificate_pdf
from tests.reports.certificates import Issued
from tests.reports.pdf_statement import blank
from tests.reports.pdf_tools import needs_poppler, run, verdict

ROOT = Path(__file__).parents[3]
pytestmark = pytest.mark.django_db  # or there is no database for the certificate to come from


def test_the_file_issued_is_the_file_these_tests_build_again(issued: Issued) -> None:
    """A yard in Chicago prints on Letter; what was issued comes out again, byte for byte."""
    assert blank(issued.pdf) == certificate_pdf(issued.facts, issued.pictures, "Letter")
    assert hashlib.sha256(issued.pdf).hexdigest() == issued.digest


def test_a_certificate_passes_as_pdf_a_3b(on_paper: tuple[str, bytes]) -> None:
    """ISO 19005-3, by pikepdf's checker, which the negative controls below keep honest."""
    assert verdict(on_paper[1]) == "pass"


def plain_pdf() -> bytes:
    """One line as ReportLab draws it unasked: Helvetica, not embedded, no metadata."""
    target = BytesIO()
    canvas = Canvas(target, invariant=1)
    canvas.drawString(72, 72, "an invented line")
    canvas.save()
    return target.getvalue()


def without_metadata(pdf: pikepdf.Pdf) -> None:
    del pdf.Root.Metadata


def without_output_intent(pdf: pikepdf.Pdf) -> None:
    del pdf.Root.OutputIntents


def without_a_font(pdf: pikepdf.Pdf) -> None:
    for font in fonts_of(pdf):
        del font.FontDescriptor.FontFile2


def with_a_script(pdf: pikepdf.Pdf) -> None:
    pdf.Root.OpenAction = pdf.make_indirect(
        pikepdf.Dictionary(S=Name.JavaScript, JS=pikepdf.String("app.alert('invented')"))
    )


def with_an_unrelated_attachment(pdf: pikepdf.Pdf) -> None:
    del pdf.Root.AF


def fonts_of(pdf: pikepdf.Pdf) -> Iterator[pikepdf.Object]:
    """The font dictionaries of the first page."""
    yield from pdf.pages[0].Resources.Font.values()


DAMAGE = [
    without_metadata,
    without_output_intent,
    without_a_font,
    with_a_script,
    with_an_unrelated_attachment,
]


def test_a_plain_pdf_does_not_pass() -> None:
    """The negative control: the checker does not approve of whatever it is given."""
    assert verdict(plain_pdf()) != "pass"


@pytest.mark.parametrize("damage", DAMAGE, ids=lambda one: str(one.__name__))
def test_a_damaged_certificate_does_not_pass(issued: Issued, damage: object) -> None:
    """Each thing PDF/A asks for, taken away from a certificate that passed."""
    target = BytesIO()
    with pikepdf.open(BytesIO(issued.pdf)) as pdf:
        damage(pdf)  # type: ignore[operator]  # one of the functions above
        pdf.save(target)
    assert verdict(target.getvalue()) != "pass"


@needs_poppler
def test_every_font_is_embedded(on_paper: tuple[str, bytes], tmp_path: Path) -> None:
    """By pdffonts; the plain PDF shows that it would say so if one were not."""
    embedded = fonts_embedded(on_paper[1], tmp_path)
    assert len(embedded) >= 2
    assert set(embedded) == {"yes"}
    assert fonts_embedded(plain_pdf(), tmp_path) == ["no"]


def fonts_embedded(pdf: bytes, folder: Path) -> list[str]:
    """The column “emb” of pdffonts."""
    head, _, *lines = run(["pdffonts", "PDF"], pdf, folder).splitlines()
    start = head.index("emb")
    return [line[start : start + 3].strip() for line in lines]


AGAIN = """
import pickle, sys, time
offset = 400 * 24 * 3600  # more than a year later
now, local, universal = time.time, time.localtime, time.gmtime
time.time = lambda: now() + offset
time.localtime = lambda at=None: local(time.time() if at is None else at)
time.gmtime = lambda at=None: universal(time.time() if at is None else at)
import django
django.setup()
from reports.certificate.document import certificate_pdf
facts, pictures = pickle.load(sys.stdin.buffer)
sys.stdout.buffer.write(certificate_pdf(facts, pictures, "Letter"))
"""


def test_another_process_elsewhere_on_another_day_makes_the_same_bytes(
    issued: Issued, tmp_path: Path
) -> None:
    """Fourteen hours from Greenwich, a year later, with strings hashed another way."""
    environment = {
        **os.environ,
        "DJANGO_SETTINGS_MODULE": "prep.project.settings",
        "YARDPROOF_DATA": str(tmp_path),
        "TZ": "Pacific/Kiritimati",
        "LANG": "C",
        "PYTHONHASHSEED": "4711",
    }
    made = subprocess.run(
        [sys.executable, "-c", AGAIN],
        input=pickle.dumps((issued.facts, issued.pictures)),
        capture_output=True,
        check=True,
        cwd=ROOT,
        env=environment,
    )
    assert made.stdout == blank(issued.pdf)
