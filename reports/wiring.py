"""What the documents add to the running application; imported once, when it is ready."""

from prep.actions.verifying import CHECKS
from prep.actions.writing import CONSUMERS
from reports import blank_sheet, certificate, labels, queue, registration, verification
from reports.audit import form as audit
from reports.checking import documents, files

CONSUMERS.append(queue.log_grew)
CHECKS.extend([documents, files])

# A builder enters itself when its module is imported; these are the forms there are.
FORMS = (
    audit.FORM,
    blank_sheet.FORM,
    certificate.FORM,
    labels.FORM,
    registration.FORM,
    verification.FORM,
)
