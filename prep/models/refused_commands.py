"""Index of the commands that batches brought and that were refused, rebuilt from their streams."""

from django.db import models

from prep.models.fields import Line


class RefusedCommand(models.Model):
    """A command that was not taken.

    `unit` is empty where it was about none, or none that its sender may see; `site` is empty where
    it was about no yard of theirs. `settled` says that somebody settled it.
    """

    id = models.UUIDField(primary_key=True)
    command = models.UUIDField()
    unit = Line(max_length=36, blank=True)
    site = Line(max_length=20, blank=True)
    person = Line(max_length=40)
    settled = models.BooleanField(default=False)
    version = models.PositiveIntegerField()

    class Meta:
        indexes = [
            models.Index(fields=["unit"], name="refused_by_unit"),
            models.Index(fields=["site", "settled"], name="refused_by_site"),
        ]

    def __str__(self) -> str:
        return f"refused {self.command}"
