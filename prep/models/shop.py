"""Index of the streams that are not units: models, instruments, procedures."""

from django.db import models

from prep.models.fields import Line
from prep.models.people import Site


class MachineModel(models.Model):
    """The present revision of a model's data, or of a tractor's."""

    code = Line(max_length=40, primary_key=True)
    sort = Line(max_length=10)
    maker = Line(max_length=120)
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

    def __str__(self) -> str:
        return self.name


class Instrument(models.Model):
    """A measuring tool as it is now."""

    code = Line(max_length=40, primary_key=True)
    site = models.ForeignKey(Site, models.PROTECT, related_name="instruments")
    kind = Line(max_length=40)
    name = Line(max_length=120)
    due = Line(max_length=10, blank=True)
    out_of_service = Line(max_length=300, blank=True)
    version = models.PositiveIntegerField()
    facts = models.JSONField()

    def __str__(self) -> str:
        return self.name


class ProcedureRevision(models.Model):
    """A revision in force, by its digest; it never changes."""

    digest = Line(max_length=64, primary_key=True)
    procedure = Line(max_length=40)
    revision = models.PositiveIntegerField()
    title = Line(max_length=200)
    model_codes = models.JSONField()
    document = models.JSONField()
    published = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["procedure", "revision"], name="procedure_revision_once"
            )
        ]

    def __str__(self) -> str:
        return f"{self.procedure} revision {self.revision}"
