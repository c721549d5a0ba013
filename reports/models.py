"""Tables of document requests, and of how far each consumer has read the log."""

from uuid import uuid4

from django.db import models
from django.utils import timezone

from prep.models import Person, Unit


class State(models.TextChoices):
    """State of a document request."""

    WAITING = "waiting"
    WORKING = "working"
    DONE = "done"
    FAILED = "failed"
    CANCELLED = "cancelled"


class DocumentRequest(models.Model):
    """A requested document, and its file once it is made.

    The row is the queue item: it exists before any task does and holds all that a worker needs.
    `cause` is what the document is made for (the id of a release, of a handover, of a command):
    one document a kind and cause. `replaces` is the document of the same unit and kind this one
    corrects.
    """

    id = models.UUIDField(primary_key=True, default=uuid4)
    kind = models.CharField(max_length=20)
    cause = models.CharField(max_length=64)
    unit = models.ForeignKey(Unit, models.PROTECT, null=True, related_name="document_requests")
    person = models.ForeignKey(Person, models.PROTECT, null=True)
    parameters = models.JSONField(default=dict)
    created = models.DateTimeField(default=timezone.now)

    state = models.CharField(max_length=10, choices=State.choices, default=State.WAITING)
    due = models.DateTimeField(default=timezone.now)
    tries = models.PositiveSmallIntegerField(default=0)
    worker = models.UUIDField(null=True)
    lease_until = models.DateTimeField(null=True)
    steps_done = models.PositiveIntegerField(default=0)
    steps_total = models.PositiveIntegerField(default=0)
    failure = models.TextField(blank=True)

    file = models.FileField(max_length=300, blank=True)
    name = models.CharField(max_length=200, blank=True)
    media_type = models.CharField(max_length=100, blank=True)
    digest = models.CharField(max_length=64, blank=True)
    bytes = models.PositiveBigIntegerField(default=0)
    number = models.CharField(max_length=60, blank=True)
    replaces = models.ForeignKey("self", models.PROTECT, null=True, related_name="replaced_by")
    finished = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            # A document requested twice is made once.
            models.UniqueConstraint(fields=["kind", "cause"], name="document_once"),
            models.CheckConstraint(
                condition=models.Q(state__in=State.values), name="document_state_known"
            ),
            # A finished document has the file to show and the digest to prove it.
            models.CheckConstraint(
                condition=~models.Q(state="done") | ~models.Q(file="") & ~models.Q(digest=""),
                name="document_done_has_file",
            ),
        ]
        indexes = [
            models.Index(fields=["state", "due"], name="document_due"),
            models.Index(fields=["unit", "kind", "created"], name="document_of_unit"),
            models.Index(fields=["created", "id"], name="document_by_age"),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.number or self.pk}: {self.state}"


class Cursor(models.Model):
    """How many entries of the log a consumer has read."""

    consumer = models.CharField(max_length=40, primary_key=True)
    read = models.PositiveBigIntegerField(default=0)

    def __str__(self) -> str:
        return f"{self.consumer}: {self.read}"
