"""Tables of jobs (requested documents, imports), and of how far each consumer has read the log."""

from uuid import uuid4

from django.db import models
from django.utils import timezone

from prep.models import Person, Site, Unit


class State(models.TextChoices):
    """State of a job."""

    WAITING = "waiting"
    WORKING = "working"
    DONE = "done"
    FAILED = "failed"
    CANCELLED = "cancelled"


class Job(models.Model):
    """Work that a worker does: claimed for as long as its lease runs, and tried several times.

    The row is the queue item: it exists before any task does and holds all that a worker needs.
    """

    id = models.UUIDField(primary_key=True, default=uuid4)
    created = models.DateTimeField(default=timezone.now)
    state = models.CharField(max_length=10, choices=State.choices, default=State.WAITING)
    due = models.DateTimeField(default=timezone.now)
    tries = models.PositiveSmallIntegerField(default=0)
    worker = models.UUIDField(null=True)
    lease_until = models.DateTimeField(null=True)
    steps_done = models.PositiveIntegerField(default=0)
    steps_total = models.PositiveIntegerField(default=0)
    failure = models.TextField(blank=True)
    finished = models.DateTimeField(null=True)

    class Meta:
        abstract = True


class DocumentRequest(Job):
    """A requested document, and its file once it is made.

    `cause` is what the document is made for (the id of a release, of a handover, of a command):
    one document a kind and cause. `replaces` is the document of the same unit and kind this one
    corrects. One whose file was lost or damaged, and cannot be made again with the same bytes, gets
    one that stands in for it: of the same cause, of the next `edition`, which `replaces` it, and of
    which `instead` says why. One that was `erased`, for the personal data in it, has no file now.
    """

    kind = models.CharField(max_length=20)
    cause = models.CharField(max_length=64)
    unit = models.ForeignKey(Unit, models.PROTECT, null=True, related_name="document_requests")
    person = models.ForeignKey(Person, models.PROTECT, null=True)
    token = models.CharField(max_length=36, blank=True)  # of the program that asked
    parameters = models.JSONField(default=dict)

    file = models.FileField(max_length=300, blank=True)
    name = models.CharField(max_length=200, blank=True)
    media_type = models.CharField(max_length=100, blank=True)
    digest = models.CharField(max_length=64, blank=True)
    bytes = models.PositiveBigIntegerField(default=0)
    number = models.CharField(max_length=60, blank=True)
    replaces = models.ForeignKey("self", models.PROTECT, null=True, related_name="replaced_by")
    edition = models.PositiveSmallIntegerField(default=0)
    instead = models.CharField(max_length=10, blank=True)
    erased = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            # A document requested twice is made once.
            models.UniqueConstraint(fields=["kind", "cause", "edition"], name="document_once"),
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
            # Whoever holds a document asks by its number or by the SHA-256 of its file.
            models.Index(fields=["number"], name="document_by_number"),
            models.Index(fields=["digest"], name="document_by_digest"),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.number or self.pk}: {self.state}"

    @property
    def seed(self) -> str:
        """What the number is drawn from: the cause, and the edition where it is a later one."""
        return f"{self.cause} {self.edition}" if self.edition else self.cause

    @property
    def first(self) -> "DocumentRequest":
        """The document that was asked for: this one, or the one that this stands in for."""
        one = self
        while one.instead and one.replaces:
            one = one.replaces
        return one

    @property
    def standing(self) -> "DocumentRequest":
        """This document, or the one that stands in for it by now."""
        for later in self.replaced_by.filter(state=State.DONE).exclude(instead=""):
            return later.standing
        return self

    @property
    def corrects(self) -> "DocumentRequest | None":
        """The earlier document that this one corrects, or that the one it stands in for did."""
        return self.first.replaces


class Holding(models.Model):
    """What the file of a document holds that is personal, or may be: which buyer, which photo."""

    document = models.ForeignKey(DocumentRequest, models.CASCADE, related_name="holdings")
    sort = models.CharField(max_length=20)
    subject = models.CharField(max_length=36)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["document", "sort", "subject"], name="holding_once")
        ]
        indexes = [models.Index(fields=["sort", "subject"], name="holding_of")]

    def __str__(self) -> str:
        return f"{self.sort} {self.subject} in {self.document_id}"


class Outcome(models.TextChoices):
    """How it ended to make a document again."""

    SAME = "same"
    STAND_IN = "stand-in"
    INTACT = "intact"


class Remake(Job):
    """A lost or damaged file of a document that is to be made again.

    `found` is what was wrong with it. The same bytes are put back; where they cannot be made any
    more, `stand_in` is the document that is issued in its place.
    """

    document = models.ForeignKey(DocumentRequest, models.PROTECT, related_name="remakes")
    person = models.ForeignKey(Person, models.PROTECT, null=True)
    found = models.CharField(max_length=10)
    outcome = models.CharField(max_length=10, choices=Outcome.choices, blank=True)
    stand_in = models.ForeignKey(DocumentRequest, models.PROTECT, null=True, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["document"],
                condition=models.Q(state__in=[State.WAITING, State.WORKING]),
                name="remake_once_at_a_time",
            ),
            models.CheckConstraint(
                condition=models.Q(state__in=State.values), name="remake_state_known"
            ),
        ]
        indexes = [models.Index(fields=["state", "due"], name="remake_due")]

    def __str__(self) -> str:
        return f"{self.document.number} again: {self.state}"


class Stage(models.TextChoices):
    """What an import does with each row: rehearse its command, or give it."""

    CHECK = "check"
    RUN = "run"


class Import(Job):
    """A table somebody sent, each row of which becomes a command in their name.

    The rows are checked first, all of them; then, where `run` was asked for, they are carried out,
    without those that have problems where `skip_problems` was chosen. `next_line` is the first line
    this stage has not done, so that a worker goes on where another stopped. `content` is erased
    when the import is done: it may hold personal data. `notices` say how the file was read.
    """

    kind = models.CharField(max_length=20)
    site = models.ForeignKey(Site, models.PROTECT, null=True, related_name="imports")
    person = models.ForeignKey(Person, models.PROTECT, related_name="imports")
    token = models.CharField(max_length=36, blank=True)  # of the program that sent it
    name = models.CharField(max_length=200, blank=True)
    content = models.BinaryField(null=True)
    digest = models.CharField(max_length=64)
    notices = models.JSONField(default=list)

    stage = models.CharField(max_length=5, choices=Stage.choices, default=Stage.CHECK)
    run = models.BooleanField(default=False)
    skip_problems = models.BooleanField(default=False)
    next_line = models.PositiveIntegerField(default=0)
    fit = models.PositiveIntegerField(default=0)
    made = models.PositiveIntegerField(default=0)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(state__in=State.values, stage__in=Stage.values),
                name="import_state_known",
            ),
        ]
        indexes = [
            models.Index(fields=["state", "due"], name="import_due"),
            models.Index(fields=["person", "created"], name="import_of_person"),
        ]

    def __str__(self) -> str:
        return f"import of {self.kind} {self.pk}: {self.stage}, {self.state}"


class ImportProblem(models.Model):
    """Why a row of an import was not fit, or was not carried out.

    `column` counts from 1, 0 for the row as a whole; `header` is what stands above it. `refusal` is
    a stored refusal: `prep.words` says it to whoever reads it.
    """

    of = models.ForeignKey(Import, models.CASCADE, related_name="problems")
    line = models.PositiveIntegerField()
    column = models.PositiveIntegerField(default=0)
    header = models.CharField(max_length=200, blank=True)
    refusal = models.JSONField()

    class Meta:
        indexes = [models.Index(fields=["of", "line"], name="import_problem_of_line")]

    def __str__(self) -> str:
        return f"line {self.line}, column {self.column}: {self.refusal}"


class CheckpointMail(Job):
    """The checkpoint of one day to one address that keeps it.

    `keeper` is the address's id; the address itself may have been removed since. `size` is of the
    checkpoint that was sent.
    """

    day = models.DateField()
    site = models.ForeignKey(Site, models.PROTECT, related_name="checkpoint_mails")
    keeper = models.UUIDField()
    size = models.PositiveBigIntegerField(default=0)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["day", "keeper"], name="checkpoint_mail_once"),
            models.CheckConstraint(
                condition=models.Q(state__in=State.values), name="checkpoint_mail_state_known"
            ),
        ]
        indexes = [models.Index(fields=["state", "due"], name="checkpoint_mail_due")]

    def __str__(self) -> str:
        return f"checkpoint of {self.day} to {self.keeper}: {self.state}"


class Cursor(models.Model):
    """How many entries of the log a consumer has read."""

    consumer = models.CharField(max_length=40, primary_key=True)
    read = models.PositiveBigIntegerField(default=0)

    def __str__(self) -> str:
        return f"{self.consumer}: {self.read}"


class Heartbeat(models.Model):
    """When one of the workers last looked for work."""

    name = models.CharField(max_length=40, primary_key=True)
    seen = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.name}: {self.seen}"
