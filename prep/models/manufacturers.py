"""Index of the register of manufacturers, rebuilt from their streams."""

from django.db import models

from prep.models.fields import Line


class Manufacturer(models.Model):
    """A manufacturer whose machines the dealership has, with the spellings it is known by."""

    id = models.UUIDField(primary_key=True)
    name = Line(max_length=60)
    aliases = models.JSONField(default=list)
    # Its name and aliases, a line each, for the search of its list.
    spellings = models.TextField()
    version = models.PositiveIntegerField()

    class Meta:
        indexes = [models.Index(fields=["name", "id"], name="manufacturer_by_name")]

    def __str__(self) -> str:
        return self.name
