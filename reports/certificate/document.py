"""The delivery certificate: a PDF/A-3b a release and language, signed over the whole file."""

from collections.abc import Mapping
from typing import Final
from uuid import UUID

import msgspec
from django.conf import settings
from django.core.files.storage import default_storage

from prep.actions import sealing
from prep.actions.beside_the_log.picture_files import logo_content
from prep.actions.beside_the_log.pictures import PHOTO
from prep.models import Photo
from prep.queries.records import record_of
from prep.record.log import signed_notes
from prep.record.personal import Personal
from prep.record.refusal import Refusal
from prep.record.unit.state import Record, Release
from prep.words.reader import say
from reports.certificate.attachments import RECORD, STATEMENT
from reports.certificate.cause import (
    ENGLISH,
    cause_of,
    correction_of,
    language_of,
    release_of,
)
from reports.certificate.facts import CertificateFacts
from reports.certificate.gather.certificate import IssuedCertificate, certificate_facts, record_json
from reports.certificate.pdf.pages import certificate_pages
from reports.document_kind import (
    Accepted,
    BuiltFile,
    Correction,
    Held,
    Progress,
    Request,
    stand_in_of,
    temporary_file,
)
from reports.languages import checked_language
from reports.models import DocumentRequest
from reports.numbers import drawn_number
from reports.pdf import statement
from reports.pdf.archival import Attachment, archival
from reports.pdf.page import paper_named

FIRST_LINE: Final = "Yardproof certificate"  # so that no note of another kind is taken for it
LETTER: Final = "C"  # begins the numbers of its documents
STEPS: Final = 3


class Parameters(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Parameters of a certificate.

    `paper` is its size, A4 or Letter; without one, what the yard's printer is likely to hold.
    `language` is `en`, `es` or `fr`; without one, English, which each release makes by itself. One
    in another language is a certificate of its own, with its own number.
    """

    paper: str = ""
    language: str = ""


def accept(request: Request) -> Accepted:
    """Accept a request for the certificate of the release that stands.

    Raises Refusal where the unit is not released, or for an unknown paper size or language.
    """
    assert request.unit is not None  # the scope of this kind
    paper_named(request.parameters.paper)
    language = checked_language(request.parameters.language or ENGLISH)
    record = record_of(request.unit)
    if record.release is None:
        raise Refusal("not-released")
    return Accepted(_cause(record, record.release, language), request.sent)


def _cause(record: Record, release: Release, language: str) -> str:
    """The cause of a release's certificate with the plate as it is now known."""
    corrected = record.corrections[-1][1].version if record.corrections else 0
    since = corrected if corrected > release.stamp.version else 0
    return cause_of(release.event.release, language, since)


def corrected(correction: Correction) -> list[Accepted]:
    """The certificates of the release that stands, in each language there is one in, corrected."""
    record = correction.record
    if record.release is None:
        return []
    made = DocumentRequest.objects.filter(
        unit=correction.unit,
        kind="certificate",
        cause__startswith=record.release.event.release,
        created__lte=record.recorded,
    )
    asked = {language_of(one.cause): one.parameters for one in made.order_by("created")}
    return [
        Accepted(_cause(record, record.release, language), parameters)
        for language, parameters in sorted(({ENGLISH: {}} | asked).items())
    ]


def build(request: DocumentRequest, progress: Progress) -> BuiltFile:
    """Build the certificate of the release that caused the request, in its language."""
    assert request.unit_id is not None  # a certificate is always asked for one unit
    earlier = request.corrects
    replaces = IssuedCertificate(earlier.number, release_of(earlier.cause)) if earlier else None
    facts = certificate_facts(
        request.unit_id,
        release_of(request.cause),
        number=drawn_number(LETTER, request.seed),
        address=settings.ADDRESS,
        language=language_of(request.cause),
        corrected=correction_of(request.cause),
        replaces=replaces,
        stands_in=stand_in_of(request),
    )
    progress(1, STEPS)
    pictures = photographs(facts)
    progress(2, STEPS)
    paper = paper_named(request.parameters.get("paper", ""), facts.time_zone)
    path = temporary_file(request, ".pdf")
    path.write_bytes(signed(certificate_pdf(facts, pictures, paper), facts))
    progress(3, STEPS)
    return BuiltFile(
        path,
        f"certificate-{facts.number}.pdf",
        facts.number,
        "application/pdf",
        holds=_holds(request.unit_id, facts, pictures),
    )


def _holds(unit: UUID, facts: CertificateFacts, pictures: Mapping[str, bytes]) -> frozenset[Held]:
    """The buyer that the certificate names, and its photos: one may be marked as showing people
    only afterwards.
    """
    shown = Photo.objects.filter(unit_id=unit, digest__in=pictures)
    held = {Held(Personal.PHOTO, str(photo)) for photo in shown.values_list("pk", flat=True)}
    if facts.named_buyer:
        held.add(Held(Personal.BUYER, facts.named_buyer))
    return frozenset(held)


def certificate_pdf(facts: CertificateFacts, pictures: Mapping[str, bytes], paper: str) -> bytes:
    """The certificate as PDF/A-3b, not signed. The same facts and pictures give the same bytes."""
    reader = facts.reader
    record = Attachment(
        RECORD, record_json(facts), say(reader, "Machine-readable record of this certificate")
    )
    over_all = Attachment(
        STATEMENT,
        statement.EMPTY,
        say(reader, "Signed statement over this whole file"),
        "text/plain",
        plain=True,
    )
    return archival(certificate_pages(facts, pictures, paper), record, over_all)


def signed(pdf: bytes, facts: CertificateFacts) -> bytes:
    """The certificate with its statement, by the key of the checkpoint that its proof leads to."""
    text = (
        f"{FIRST_LINE}\nlog {facts.proof.log}\ndocument certificate {facts.number}\n"
        f"file {statement.digest_of(pdf)}\n"
    )
    checkpoint = signed_notes.parse_proof(facts.proof.tlog).note
    return statement.stated(pdf, sealing.sign_like(checkpoint, text))


def photographs(facts: CertificateFacts) -> dict[str, bytes]:
    """Contents of the photographs and the logo by digest; one whose file is gone is left out."""
    contents: dict[str, bytes] = {}
    if facts.logo and (logo := logo_content(facts.logo)) is not None:
        contents[facts.logo] = logo
    of_unit = Photo.objects.filter(unit_id=UUID(facts.unit.id))
    kept = set(of_unit.filter(erased=None).values_list("digest", flat=True))
    for digest in {photo.digest for photo in facts.photos} & kept:
        try:
            with default_storage.open(PHOTO.file(digest), "rb") as opened:
                contents[digest] = opened.read()
        except FileNotFoundError:
            continue
    return contents
