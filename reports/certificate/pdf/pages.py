"""Pages of a certificate, drawn from its facts."""

from collections.abc import Mapping

from reportlab.platypus import Flowable, PageBreak

from prep.words.reader import say
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
        *front(facts, width, pictures.get(facts.logo)),
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
    """Pages of a certificate as PDF; `pictures` holds photographs and logo by their digest."""
    story = certificate_story(facts, pictures, page.room(paper))
    return page.document(story, paper, _running(facts), _about(facts))


def _running(facts: CertificateFacts) -> page.Running:
    reader, unit = facts.reader, facts.unit
    head = say(
        reader,
        "Delivery certificate: {maker} {model}, serial {serial}",
        maker=unit.maker,
        model=unit.model,
        serial=unit.serial,
    )
    foot = say(
        reader,
        "{dealer} · verify this certificate at {address}",
        dealer=facts.dealer,
        address=facts.address,
    )
    return page.Running((head, facts.number), (foot, facts.number), head_on_first=False)


def _about(facts: CertificateFacts) -> page.About:
    reader, unit = facts.reader, facts.unit
    title = say(
        reader,
        "Delivery certificate {number}: {maker} {model}, serial {serial}",
        number=facts.number,
        maker=unit.maker,
        model=unit.model,
        serial=unit.serial,
    )
    subject = say(
        reader,
        "Preparation and release of {maker} {model}, serial {serial}",
        maker=unit.maker,
        model=unit.model,
        serial=unit.serial,
    )
    return page.About(title, subject, facts.dealer, facts.language)
