"""Personal data are read in few places, each of which notes it, or shows nothing of it."""

import ast
from collections.abc import Iterator

from tests.architecture.tree import modules

# Names by which details of a buyer, a recipient, an address outside or a guest are reached.
SOURCES = {
    "Buyer",
    "FormerParticulars",
    "Recipient",
    "buyer_at",
    "buyer_of",
    "particulars_of",
    "page_of",
    "all_rows",
    "open_file",
    "open_photo",
}
# Where that is done above the actions, and what becomes of it.
KNOWN = {
    "api/views/personal/buyers.py": "noted",
    "prep/pages/commands.py": "whether the buyer is erased",
    "prep/pages/views/audit/findings.py": "a verification's report, which names nobody",
    "prep/pages/views/audit/verification.py": "a verification's report, which names nobody",
    "prep/pages/views/personal/buyers.py": "noted",
    "prep/pages/views/command.py": "noted",
    "prep/pages/views/personal/visit.py": "a document that holds nothing personal, and noted",
    "reports/certificate/gather/certificate.py": "in a document, which says what it holds",
    "reports/holdings.py": "whether the buyer is erased",
    "reports/queue/access.py": "noted",
    "reports/readings.py": "who looked",
    "reports/registration/document.py": "in a document, which says what it holds",
    "reports/registration/facts.py": "in a document, which says what it holds",
}
LAYERS = ("api/", "prep/pages/", "reports/")
PACKAGES = ("reports/queue/__init__.py", "reports/queue/submit.py", "reports/registration/")


def sources_used(source: str) -> Iterator[str]:
    """The sources of personal data that a module imports or reaches through a package."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.ImportFrom):
            yield from (one.name for one in node.names if one.name in SOURCES)
        if isinstance(node, ast.Attribute) and node.attr in {"open_file", "particulars_of"}:
            yield node.attr


def test_personal_data_are_read_where_it_is_noted() -> None:
    """Whoever reads a buyer in a new place says here what becomes of it."""
    found = {
        name
        for name, path in modules()
        if name.startswith(LAYERS) and any(sources_used(path.read_text()))
    }
    assert {name for name in found if not name.startswith(PACKAGES)} == {
        name for name in KNOWN if not name.startswith(PACKAGES)
    }


def test_a_planted_reading_is_reported() -> None:
    """Negative control: by import, and through a package."""
    assert list(sources_used("from prep.queries.personal.buyers import buyer_of"))
    assert list(sources_used("from reports import queue\nqueue.open_file(row)"))
    assert not list(sources_used("from prep.queries.personal.buyers import erased_since"))
