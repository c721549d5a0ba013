"""PDF/A-3b: the finished pages with files attached, checked as written."""

import io
import struct
import zlib
from datetime import UTC, datetime
from typing import Final, NamedTuple

import pikepdf
from pikepdf import AttachedFileSpec, Name, pdfa

FLAVOUR: Final = "3b"
# Dates inside a file would make two builds of one document differ; ReportLab states this one too.
NO_DATE: Final = datetime(2000, 1, 1, tzinfo=UTC)
NO_DATE_IN_PDF: Final = "D:20000101000000Z"
FILTER: Final = b"/Filter /FlateDecode"
STORED: Final = 11  # bytes that the wrapping of a block of zlib takes which is only stored


class Attachment(NamedTuple):
    """A file to attach. One that is `plain` lies in the PDF byte for byte, uncompressed."""

    name: str
    content: bytes
    description: str
    media_type: str = "application/json"
    plain: bool = False


def archival(pages: bytes, *attachments: Attachment) -> bytes:
    """The document as PDF/A-3b with files attached. The same input gives the same bytes.

    Raises pikepdf.pdfa.PdfaError when the checker does not pass what was written.
    """
    plain = [one for one in attachments if one.plain]
    with pikepdf.open(io.BytesIO(pages)) as pdf:
        for page in pdf.pages:
            if Name.Trans in page.obj:
                del page.obj[Name.Trans]  # an empty transition, which PDF/A forbids
        for one in attachments:
            _attach(pdf, one)
        pdfa.prepare(pdf, FLAVOUR)
        with pdf.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as metadata:
            metadata["xmp:MetadataDate"] = NO_DATE.isoformat()
        target = io.BytesIO()
        pdf.save(target, **pdfa.resolve_save_kwargs(FLAVOUR, deterministic_id=True))
    written = target.getvalue()
    for one in plain:
        written = _unfiltered(written, one.content)
    return _checked(written)


def _attach(pdf: pikepdf.Pdf, one: Attachment) -> None:
    relationship = Name.Supplement if one.plain else Name.Data
    pdf.attachments[one.name] = AttachedFileSpec(
        pdf,
        one.content,
        filename=one.name,
        description=one.description,
        mime_type=one.media_type,
        relationship=relationship,
        creation_date=NO_DATE_IN_PDF,
        mod_date=NO_DATE_IN_PDF,
    )
    if one.plain:
        embedded = pdf.attachments[one.name].obj.EF.F
        del embedded.Params.CheckSum  # of what may yet be written over
        embedded.write(_stored(one.content), filter=Name.FlateDecode)


def _stored(content: bytes) -> bytes:
    """As many bytes as `content`, which unpack to most of it (RFC 1950, RFC 1951 3.2.4).

    Whatever has no filter is compressed when a PDF is written; what has one is left alone.
    """
    held = content[:-STORED]
    sizes = struct.pack("<HH", len(held), len(held) ^ 0xFFFF)
    return b"\x78\x01\x01" + sizes + held + struct.pack(">I", zlib.adler32(held))


def _unfiltered(pdf: bytes, content: bytes) -> bytes:
    """A written file, in which `content` takes the place of its stand-in and has no filter.

    Nothing changes its length, so every offset stays right.
    """
    stored = _stored(content)
    start = pdf.index(stored)
    named = pdf.rindex(FILTER, 0, start)
    described = b" " * len(FILTER) + pdf[named + len(FILTER) : start]
    return pdf[:named] + described + content + pdf[start + len(stored) :]


def _checked(pdf: bytes) -> bytes:
    report = pdfa.validate_written(io.BytesIO(pdf), FLAVOUR)
    if not report.passed:
        raise pdfa.PdfaError(report)
    return pdf
