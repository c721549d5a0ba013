"""PDF/A-3b: the finished pages with the machine-readable record attached, checked as written."""

import io
from datetime import UTC, datetime
from typing import Final

import pikepdf
from pikepdf import AttachedFileSpec, Name, pdfa

FLAVOUR: Final = "3b"
# Dates inside a file would make two builds of one document differ; ReportLab states this one too.
NO_DATE: Final = datetime(2000, 1, 1, tzinfo=UTC)
NO_DATE_IN_PDF: Final = "D:20000101000000Z"


def archival(pages: bytes, attached: bytes, name: str, description: str) -> bytes:
    """The document as PDF/A-3b with one JSON file attached. The same input gives the same bytes.

    Raises pikepdf.pdfa.PdfaError when the checker does not pass what was written.
    """
    with pikepdf.open(io.BytesIO(pages)) as pdf:
        for page in pdf.pages:
            if Name.Trans in page.obj:
                del page.obj[Name.Trans]  # an empty transition, which PDF/A forbids
        pdf.attachments[name] = AttachedFileSpec(
            pdf,
            attached,
            filename=name,
            description=description,
            mime_type="application/json",
            relationship=Name.Data,
            creation_date=NO_DATE_IN_PDF,
            mod_date=NO_DATE_IN_PDF,
        )
        pdfa.prepare(pdf, FLAVOUR)
        with pdf.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as metadata:
            metadata["xmp:MetadataDate"] = NO_DATE.isoformat()
        target = io.BytesIO()
        pdfa.save(pdf, target, FLAVOUR, repair=False, deterministic_id=True)
    return target.getvalue()
