"""Who looked at personal data, and what a guest looked at: rows that are added and never changed.

No event of the log: whoever looks changes nothing. The rows hold no personal data but the reader's
name; of what was typed into a search they say only that something was.
"""

from django.db import models

from prep.models.fields import Line
from prep.models.log import AppendOnly


class PersonalRead(AppendOnly):
    """One request that showed personal data, or anything to a guest.

    `reader` is the person's id, or `guest:` and the guest's. `sort` is what was shown and `subject`
    its id, empty for a list; `how` is by a page, the API, a document, an export. `rows` counts what
    was shown, `asked` are the filters. `sites` are the yards it is of, between spaces.
    """

    at = models.DateTimeField(auto_now_add=True)
    reader = Line(max_length=60)
    reader_name = Line(max_length=200)
    sort = Line(max_length=20)
    subject = Line(max_length=64, blank=True)
    how = Line(max_length=20)
    rows = models.PositiveIntegerField()
    asked = models.JSONField(default=dict)
    sites = models.TextField()

    class Meta:
        indexes = [
            models.Index(fields=["at", "id"], name="personal_read_by_age"),
            models.Index(fields=["subject"], name="personal_read_of"),
        ]

    def __str__(self) -> str:
        return f"{self.reader_name}: {self.sort} {self.subject}"
