"""Index of the instruments, rebuilt from their streams."""

from django.db import models

from prep.models.fields import Line
from prep.models.sites import Site


class Instrument(models.Model):
    """A measuring tool with its present facts."""

    code = Line(max_length=40, primary_key=True)
    site = models.ForeignKey(Site, models.PROTECT, related_name="instruments")
    kind = Line(max_length=40)
    name = Line(max_length=120)
    due = Line(max_length=10, blank=True)
    out_of_service = Line(max_length=300, blank=True)
    version = models.PositiveIntegerField()
    facts = models.JSONField()

    class Meta:
        indexes = [
            models.Index(fields=["kind", "name", "code"], name="instrument_by_kind"),
            models.Index(fields=["due", "code"], name="instrument_by_due"),
        ]

    def __str__(self) -> str:
        return self.name
