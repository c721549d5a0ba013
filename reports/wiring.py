"""What the documents add to the running application; imported once, when it is ready."""

from prep.actions.writing import CONSUMERS
from reports import queue

CONSUMERS.append(queue.log_grew)
