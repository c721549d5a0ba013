"""Index of procedure revisions, rebuilt from their streams."""

from django.db import models

from prep.models.fields import Line


class ProcedureRevision(models.Model):
    """A procedure revision in force, by the SHA-256 (hex) of its document; it never changes."""

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
        indexes = [
            models.Index(fields=["published", "digest"], name="procedure_by_age"),
            models.Index(fields=["procedure", "revision", "digest"], name="procedure_by_name"),
        ]

    def __str__(self) -> str:
        return f"{self.procedure} revision {self.revision}"
