"""Labels of one line, for tests of how documents are made rather than of what is in them."""

from reports.document_kind import BuiltFile, Progress, temporary_file
from reports.models import DocumentRequest


def plain(request: DocumentRequest, progress: Progress) -> BuiltFile:
    """A builder that writes one line."""
    path = temporary_file(request, ".txt")
    path.write_text(request.cause)
    progress(1, 1)
    return BuiltFile(path, "labels.txt", f"N-{request.cause}", "text/plain")
