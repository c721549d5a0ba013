"""Index of the units; every row can be rebuilt from their streams."""

from django.db import models

from prep.models.fields import Line
from prep.models.sites import Site


class Unit(models.Model):
    """One serial-numbered machine in its present state."""

    id = models.UUIDField(primary_key=True)
    site = models.ForeignKey(Site, models.PROTECT, related_name="units")
    maker = Line(max_length=60)
    manufacturer = Line(max_length=40)
    serial = Line(max_length=60)
    # The serial without what people spell it differently by, and what it looks like at a glance.
    serial_key = Line(max_length=60)
    look_alike_key = Line(max_length=60)
    # Serials its plate was misread as, a line each, for search.
    former_serials = models.TextField(blank=True)
    # The unit its record was joined into; empty while it goes on.
    joined_into = Line(max_length=40, blank=True)
    place = Line(max_length=60, blank=True)
    model = Line(max_length=40, blank=True)
    model_name = Line(max_length=120, blank=True)
    options = models.JSONField(default=list)
    state = Line(max_length=40)
    version = models.PositiveIntegerField()
    procedure = Line(max_length=40, blank=True)
    revision = models.PositiveIntegerField(default=0)
    ready_for_stock = models.BooleanField(default=False)
    ready_for_buyer = models.BooleanField(default=False)
    reasons = models.JSONField(default=list)
    # For lists, which need no more than these: a unit may have hundreds of reasons.
    first_reason = models.JSONField(null=True)
    reason_count = models.PositiveSmallIntegerField(default=0)
    # The same for units that can stand in for each other, and how near each is to its customer.
    alike = Line(max_length=400, blank=True)
    readiness_rank = models.PositiveSmallIntegerField(default=2)
    steps_done = models.PositiveSmallIntegerField(default=0)
    steps_total = models.PositiveSmallIntegerField(default=0)
    steps_left = models.PositiveSmallIntegerField(default=0)
    open_flags = models.PositiveSmallIntegerField(default=0)
    buyer = Line(max_length=40, blank=True)
    tractor = Line(max_length=40, blank=True)
    received = models.DateTimeField(null=True)
    released = models.DateTimeField(null=True)
    handed_over = models.DateTimeField(null=True)
    registration = Line(max_length=10, default="not-due")
    registration_due = Line(max_length=10, blank=True)

    class Meta:
        constraints = [
            # Two manufacturers may use the same serial; one does not use a serial twice.
            models.UniqueConstraint(
                fields=["manufacturer", "serial_key"],
                name="unit_serial_once",
                condition=models.Q(joined_into=""),
            )
        ]
        indexes = [
            models.Index(fields=["manufacturer", "look_alike_key"], name="unit_look_alike"),
            models.Index(fields=["site", "state"], name="unit_by_state"),
            models.Index(fields=["received", "id"], name="unit_by_age"),
            models.Index(fields=["serial", "id"], name="unit_by_serial"),
            models.Index(
                fields=["readiness_rank", "steps_left", "received", "id"], name="unit_by_readiness"
            ),
            models.Index(fields=["registration_due", "id"], name="unit_by_registration_due"),
            models.Index(
                fields=["registration_due", "id"],
                name="unit_to_register",
                condition=models.Q(registration="due"),
            ),
            # The yard page: equal units together, the readiest first, the oldest of those first.
            models.Index(
                fields=["alike", "readiness_rank", "received", "id"],
                name="unit_in_yard",
                condition=models.Q(handed_over=None),
            ),
            models.Index(
                fields=["site", "alike", "readiness_rank", "received", "id"],
                name="unit_in_yard_of_site",
                condition=models.Q(handed_over=None),
            ),
            models.Index(fields=["site", "received", "id"], name="unit_of_site_by_age"),
        ]

    def __str__(self) -> str:
        return f"{self.maker} {self.serial}"


class UnitCount(models.Model):
    """How many units of a site count under a tile of the yard page."""

    site = models.ForeignKey(Site, models.PROTECT, related_name="unit_counts")
    facet = Line(max_length=20)
    units = models.PositiveIntegerField(default=0)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["site", "facet"], name="unit_count_once")]

    def __str__(self) -> str:
        return f"{self.facet} at {self.site_id}: {self.units}"


class UnitRow(models.Model):
    """Base of the tables whose rows belong to a unit."""

    unit = models.ForeignKey(Unit, models.CASCADE)

    class Meta:
        abstract = True


class UnitStep(UnitRow):
    """A step of a unit's sheet with its status."""

    step = Line(max_length=60)
    ordinal = models.PositiveSmallIntegerField()
    section = Line(max_length=120)
    title = Line(max_length=200)
    status = Line(max_length=40)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["unit", "step"], name="unit_step_once")]

    def __str__(self) -> str:
        return f"{self.title}: {self.status}"


class Reading(UnitRow):
    """An entry in a box: a reading, a choice, a check or a setting. Superseded entries stay."""

    id = Line(max_length=40, primary_key=True)
    step = Line(max_length=60)
    line = Line(max_length=60)
    position = Line(max_length=60, blank=True)
    kind = Line(max_length=20)
    current = models.BooleanField()
    raw = Line(max_length=400)
    verdict = Line(max_length=60)
    quantity = Line(max_length=40, blank=True)
    canonical = Line(max_length=60, blank=True)
    unit_symbol = Line(max_length=20, blank=True)
    limit = models.JSONField(null=True)
    limit_source = Line(max_length=300, blank=True)
    instrument = Line(max_length=40, blank=True)
    instrument_due = Line(max_length=10, blank=True)
    person = Line(max_length=40)
    person_name = Line(max_length=120)
    happened = models.DateTimeField()
    recorded = models.DateTimeField()

    class Meta:
        indexes = [
            # Which readings are in doubt when an instrument fails calibration (ISO 9001, 7.1.5.2)?
            models.Index(fields=["instrument", "happened"], name="reading_by_instrument"),
            models.Index(fields=["happened", "id"], name="reading_by_age"),
        ]

    def __str__(self) -> str:
        return f"{self.step}/{self.line}: {self.raw}"


class Flag(UnitRow):
    """A nonconformity of a unit, open or closed."""

    id = Line(max_length=60, primary_key=True)
    origin = Line(max_length=20)
    about = models.JSONField(default=dict)
    step = Line(max_length=60, blank=True)
    open = models.BooleanField()
    raised = models.DateTimeField()
    raised_by = Line(max_length=120)
    closed = models.DateTimeField(null=True)
    closed_by = Line(max_length=120, blank=True)
    concession = models.TextField(blank=True)

    class Meta:
        indexes = [models.Index(fields=["raised", "id"], name="flag_by_age")]

    def __str__(self) -> str:
        return f"{self.origin} {self.id}"


class Shortage(UnitRow):
    """A part that is missing from a unit, or was."""

    id = Line(max_length=60, primary_key=True)
    part = Line(max_length=120)
    count = models.PositiveIntegerField()
    stops_release = models.BooleanField()
    expected = Line(max_length=60, blank=True)
    lent_to = Line(max_length=120, blank=True)
    noted = models.DateTimeField()
    noted_by = Line(max_length=120)
    arrived = models.DateTimeField(null=True)
    arrived_by = Line(max_length=120, blank=True)

    class Meta:
        indexes = [models.Index(fields=["noted", "id"], name="shortage_by_age")]

    def __str__(self) -> str:
        return f"{self.count} × {self.part}"


class SignOff(UnitRow):
    """A sign-off: printed name, moment and meaning (21 CFR 11.50 as the model) over `content`.

    `content` is the SHA-256, in hex, of what was shown. `stands` is false once it was undone.
    """

    version = models.PositiveIntegerField()
    step = Line(max_length=60, blank=True)
    meaning = Line(max_length=40)
    content = Line(max_length=64)
    person = Line(max_length=40)
    person_name = Line(max_length=120)
    happened = models.DateTimeField()
    stands = models.BooleanField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["unit", "version"], name="sign_off_once"),
            models.CheckConstraint(
                condition=~models.Q(person_name="") & ~models.Q(meaning="") & ~models.Q(person=""),
                name="sign_off_has_name_and_meaning",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person_name}: {self.meaning}"
