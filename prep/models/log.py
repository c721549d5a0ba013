"""Tables of the log: events, their places, the Merkle tree, keys and signed checkpoints.

Rows are added and never changed; the other tables are an index that is rebuilt from them.
"""

from typing import Any, NoReturn

from django.db import models

from prep.record.log.envelope import envelope


class UnchangeableError(RuntimeError):
    """An update or deletion of a row that may only be added."""

    def __init__(self, what: str) -> None:
        super().__init__(f"{what} may be added, never changed or deleted. Append a correction.")


class AppendOnlyQuerySet(models.QuerySet[Any]):
    """A queryset that refuses updates and deletions."""

    def update(self, **kwargs: Any) -> NoReturn:
        """Refused."""
        raise UnchangeableError(self.model.__name__)

    def delete(self) -> NoReturn:
        """Refused."""
        raise UnchangeableError(self.model.__name__)

    def bulk_update(self, *args: Any, **kwargs: Any) -> NoReturn:
        """Refused."""
        raise UnchangeableError(self.model.__name__)


class AppendOnly(models.Model):
    """Base of append-only tables.

    They are guarded three times: in the model, in the queryset, and by database triggers.
    """

    objects = AppendOnlyQuerySet.as_manager()

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Insert; refuse to overwrite."""
        if not self._state.adding:
            raise UnchangeableError(type(self).__name__)
        super().save(*args, **{**kwargs, "force_insert": True})

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        """Refused."""
        raise UnchangeableError(type(self).__name__)


class Event(AppendOnly):
    """One event: `body` is its canonical JSON, `leaf` its leaf hash in hex (RFC 6962, 2.1).

    `facts` is the JSON of the versions of what the decision read from outside the stream. `drift`
    is by how many seconds the device's clock was behind when it sent, null where that is unknown.
    `named` is the person whom the device names as the author, empty where that is the actor.
    """

    stream = models.CharField(max_length=20)
    stream_id = models.CharField(max_length=64)
    version = models.PositiveIntegerField()
    kind = models.CharField(max_length=40)
    schema = models.PositiveSmallIntegerField()
    body = models.TextField()
    actor = models.CharField(max_length=40)
    actor_name = models.CharField(max_length=120)
    site = models.CharField(max_length=20)
    device = models.CharField(max_length=60)
    drift = models.BigIntegerField(null=True)
    named = models.CharField(max_length=40, blank=True)
    named_name = models.CharField(max_length=120, blank=True)
    happened = models.DateTimeField()
    recorded = models.DateTimeField()
    command = models.UUIDField()
    part = models.PositiveSmallIntegerField()
    request = models.CharField(max_length=64)
    facts = models.TextField()
    leaf = models.CharField(max_length=64)

    class Meta:
        constraints = [
            # Versions order a stream: of two writers with the same next version, one fails here.
            models.UniqueConstraint(
                fields=["stream", "stream_id", "version"], name="event_version_once"
            ),
            # A command counts once, even where it is repeated to another stream.
            models.UniqueConstraint(fields=["command", "part"], name="event_command_once"),
        ]
        indexes = [models.Index(fields=["kind", "recorded"], name="event_by_kind")]

    def __str__(self) -> str:
        return f"{self.stream} {self.stream_id} {self.version}: {self.kind}"

    def envelope(self) -> dict[str, Any]:
        """The row's columns as the envelope that is hashed into the leaf."""
        return envelope(
            stream=self.stream,
            stream_id=self.stream_id,
            version=self.version,
            kind=self.kind,
            schema=self.schema,
            body=self.body,
            actor=self.actor,
            actor_name=self.actor_name,
            site=self.site,
            device=self.device,
            drift=self.drift,
            named=self.named,
            named_name=self.named_name,
            happened=self.happened,
            recorded=self.recorded,
            command=str(self.command),
            part=self.part,
            request=self.request,
            facts=self.facts,
        )


class Unsealed(models.Model):
    """An event that is not sealed yet. Written with the event, removed by the seal."""

    event = models.OneToOneField(Event, models.PROTECT, primary_key=True)

    def __str__(self) -> str:
        return f"event {self.event_id}"


class Leaf(AppendOnly):
    """Position of an event in the log, counted from 0 without gaps."""

    position = models.PositiveBigIntegerField(primary_key=True)
    event = models.OneToOneField(Event, models.PROTECT, related_name="sealed")

    def __str__(self) -> str:
        return f"{self.position}: event {self.event_id}"


class TreeNode(AppendOnly):
    """Hash, in hex, of a complete subtree of 2^level leaves, the index-th of its level."""

    level = models.PositiveSmallIntegerField()
    index = models.PositiveBigIntegerField()
    hash = models.CharField(max_length=64)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["level", "index"], name="tree_node_once")]

    def __str__(self) -> str:
        return f"{self.level}/{self.index}"


class LogKey(AppendOnly):
    """A public key that signs the log; the private half is a file that only the service reads.

    In `note` the key itself says which one it follows.
    """

    verifier = models.CharField(max_length=200, primary_key=True)
    note = models.TextField()
    created = models.DateTimeField()

    def __str__(self) -> str:
        return self.verifier


class Checkpoint(AppendOnly):
    """A signed root, in hex, over the first `size` leaves; `note` is its signed note."""

    size = models.PositiveBigIntegerField(primary_key=True)
    root = models.CharField(max_length=64)
    note = models.TextField()
    created = models.DateTimeField()

    def __str__(self) -> str:
        return f"{self.size} leaves"
