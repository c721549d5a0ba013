"""What the documents add to the running application; imported once, when it is ready."""

from prep.actions.verifying import CHECKS
from prep.actions.writing import CONSUMERS
from reports import queue
from reports.checking import documents

CONSUMERS.append(queue.log_grew)
CHECKS.append(documents)
