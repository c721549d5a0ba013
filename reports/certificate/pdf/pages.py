"""A certificate's facts as pages."""

from collections.abc import Mapping

from reportlab.platypus import Flowable, PageBreak

from reports.certificate.facts import CertificateFacts
from reports.certificate.pdf.findings import cautions, photographs, settled
from reports.certificate.pdf.front_page import front
from reports.certificate.pdf.proof import instruments, proof, sign_offs, worked_out
from reports.certificate.pdf.readings import sheet
from reports.pdf import page


def certificate_story(
    facts: CertificateFacts, pictures: Mapping[str, bytes], width: float
) -> list[Flowable]:
    """What stands on the pages of a certificate, in order."""
    return [
        *front(facts, width),
        PageBreak(),
        *settled(facts, width),
        *sheet(facts, width),
        *cautions(facts, width),
        *photographs(facts, pictures, width),
        *instruments(facts, width),
        *worked_out(facts, width),
        *sign_offs(facts, width),
        *proof(facts, width),
    ]


def certificate_pages(facts: CertificateFacts, pictures: Mapping[str, bytes], paper: str) -> bytes:
    """The pages of a certificate; `pictures` holds photographs by their digest."""
    story = certificate_story(facts, pictures, page.room(paper))
    unit = facts.unit
    named = f"{unit.maker} {unit.model}, serial {unit.serial}"
    running = page.Running(
        head=(f"Delivery certificate: {named}", facts.number),
        foot=(f"{facts.dealer} · check this certificate at {facts.address}", facts.number),
        head_on_first=False,
    )
    about = page.About(
        title=f"Delivery certificate {facts.number}: {named}",
        subject=f"Preparation and release of {named}",
        author=facts.dealer,
    )
    return page.document(story, paper, running, about)
