"""Names of the files attached to a certificate."""

from typing import Final

RECORD: Final = "record.json"
STATEMENT: Final = "statement.txt"
