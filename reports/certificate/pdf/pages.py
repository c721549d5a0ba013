"""Pages of a certificate, drawn from its facts."""

from collections.abc import Mapping

from reportlab.platypus import Flowable, PageBreak

from reports.certificate.facts import CertificateFacts
from reports.certificate.pdf.findings import cautions, photographs, settled
from reports.certificate.pdf.front_page import front
from reports.certificate.pdf.proof import computed_limits, instruments, proof, sign_offs
from reports.certificate.pdf.readings import sheet
from reports.pdf import page


def certificate_story(
    facts: CertificateFacts, pictures: Mapping[str, bytes], width: float
) -> list[Flowable]:
    """Flowables of a certificate, in the order of its pages."""
    return [
        *front(facts, width),
        PageBreak(),
        *settled(facts, width),
        *sheet(facts, width),
        *cautions(facts, width),
        *photographs(facts, pictures, width),
        *instruments(facts, width),
        *computed_limits(facts, width),
        *sign_offs(facts, width),
        *proof(facts, width),
    ]


def certificate_pages(facts: CertificateFacts, pictures: Mapping[str, bytes], paper: str) -> bytes:
    """Pages of a certificate as PDF; `pictures` holds photographs by their digest."""
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
