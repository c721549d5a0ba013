"""Index of machine and tractor models, rebuilt from their streams."""

from django.db import models

from prep.models.fields import Line


class MachineModel(models.Model):
    """The present revision of the data of a machine or tractor model."""

    code = Line(max_length=40, primary_key=True)
    sort = Line(max_length=10)
    maker = Line(max_length=60)
    manufacturer = Line(max_length=40)
    name = Line(max_length=120)
    revision = models.PositiveIntegerField()
    version = models.PositiveIntegerField()
    facts = models.JSONField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(sort__in=["machine", "tractor"]), name="model_sort_known"
            )
        ]
        indexes = [models.Index(fields=["name", "code"], name="model_by_name")]

    def __str__(self) -> str:
        return self.name
