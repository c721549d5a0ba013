"""Types of the fields of commands: their limits, an example, and what may be chosen in them.

A field's `Meta.extra` may say of it:

* `choose`: what a person picks from (`step`, `flag`, `model` …), so that a page can list it;
* `suggest`: what a form has in it before anybody types;
* `long`: that it is written in several lines;
* `malformed`: the problem to name where a text does not match the pattern;
* `privacy`: `personal` where only a keyed digest of the value may enter a request's digest, or
  `secret` where nothing of it may.

Texts are no longer than the database columns that index them.
"""

from datetime import datetime
from enum import StrEnum
from typing import Annotated, Any, Final
from uuid import UUID

import msgspec

Meta = msgspec.Meta


class Privacy(StrEnum):
    """What may be kept of a field's value in the digest of a request."""

    PERSONAL = "personal"
    SECRET = "secret"


def meta_of(hint: Any) -> dict[str, Any]:
    """`extra` of a field's type, all its annotations together."""
    extra: dict[str, Any] = {}
    for part in getattr(hint, "__metadata__", ()):
        if isinstance(part, msgspec.Meta) and part.extra:
            extra |= part.extra
    return extra


FILLED: Final = r"\S"  # something other than spaces
EVENT_ID: Final = "5f0c7d0e-8a53-4f0e-9b5a-3d6a2f6f0f11"

# Codes and ids of things there are.
Code = Annotated[str, Meta(min_length=1, max_length=60)]
SiteCode = Annotated[str, Meta(min_length=1, max_length=20, examples=["NORTH"])]
StepCode = Annotated[
    str, Meta(min_length=1, max_length=60, examples=["wheels"], extra={"choose": "step"})
]
LineCode = Annotated[str, Meta(min_length=1, max_length=60, examples=["nut-torque"])]
Position = Annotated[str, Meta(max_length=60, examples=["left 3"])]
ModelCode = Annotated[
    str, Meta(min_length=1, max_length=60, examples=["TC-12"], extra={"choose": "model"})
]
TractorCode = Annotated[
    str, Meta(min_length=1, max_length=60, examples=["T-90"], extra={"choose": "tractor"})
]
ProcedureCode = Annotated[
    str,
    Meta(min_length=1, max_length=60, examples=["rotary-cutter"], extra={"choose": "procedure"}),
]
InstrumentCode = Annotated[str, Meta(max_length=40, examples=["W-1"])]
FlagId = Annotated[
    str, Meta(min_length=1, max_length=60, examples=[EVENT_ID], extra={"choose": "flag"})
]
ShortageId = Annotated[
    str, Meta(min_length=1, max_length=60, examples=[EVENT_ID], extra={"choose": "shortage"})
]
RegistrationId = Annotated[
    str, Meta(min_length=1, max_length=60, examples=[EVENT_ID], extra={"choose": "registration"})
]
EntryId = Annotated[str, Meta(max_length=60)]
BuyerId = Annotated[UUID, Meta(examples=["0b6cf7f4-51cf-4a6e-9d0a-9a3a5a3f9c11"])]
Digest = Annotated[
    str, Meta(pattern="^[0-9a-f]{64}$", examples=["0" * 64], extra={"choose": "seen"})
]
Revision = Annotated[int, Meta(ge=1, le=1_000_000, examples=[2], extra={"choose": "revision"})]

UnitSymbol = Annotated[
    str,
    Meta(max_length=20, description="A unit's symbol, as it is shown.", examples=["ft·lbf"]),
]

# What people type.
Typed = Annotated[
    str,
    Meta(
        max_length=400,
        description="Exactly as typed, unit and all: “13 7/8 in”.",
        examples=["450 ft·lbf"],
    ),
]
Text = Annotated[
    str,
    Meta(
        max_length=2000,
        pattern=FILLED,
        examples=["Left tail light lens cracked"],
        extra={"long": True},
    ),
]
Reason = Annotated[
    str,
    Meta(max_length=2000, pattern=FILLED, examples=["Wrong washer fitted"], extra={"long": True}),
]
Note = Annotated[str, Meta(max_length=2000, extra={"long": True})]
Short = Annotated[str, Meta(max_length=60)]
Filled = Annotated[str, Meta(max_length=60, pattern=FILLED, examples=["Row C, bay 4"])]
Name = Annotated[str, Meta(max_length=120)]
Serial = Annotated[
    str,
    Meta(
        max_length=60,
        pattern=FILLED,
        description="Exactly as on the plate.",
        examples=["TC00017"],
    ),
]
Manufacturer = Annotated[
    str, Meta(max_length=60, pattern=FILLED, examples=["Larkfield"], extra={"choose": "maker"})
]
Count = Annotated[int, Meta(ge=1, le=10_000)]
Confirmed = Annotated[
    bool,
    Meta(description="Stand by a value that others contradict, after `contradicts` asked."),
]
FastenersChecked = Annotated[
    int,
    Meta(ge=1, le=1000, description="How many were gone over with the tool.", examples=[6]),
]
FastenersMoved = Annotated[
    int,
    Meta(
        ge=0,
        le=1000,
        description="How many of them turned before the tool clicked.",
        examples=[0],
    ),
]
Moment = Annotated[
    datetime,
    Meta(
        tz=True,
        description="RFC 3339 with its offset, such as 2026-03-02T08:15:00Z.",
        examples=["2026-03-02T08:15:00Z"],
    ),
]
Document = Annotated[str, Meta(max_length=900_000, description="The document in YAML.")]

# Personal data and secrets.
PersonName = Annotated[
    str,
    Meta(
        max_length=200,
        pattern=FILLED,
        examples=["Pat Example"],
        extra={"privacy": Privacy.PERSONAL},
    ),
]
Address = Annotated[str, Meta(max_length=500, extra={"privacy": Privacy.PERSONAL, "long": True})]
Phone = Annotated[str, Meta(max_length=60, extra={"privacy": Privacy.PERSONAL})]
Email = Annotated[
    str,
    Meta(
        max_length=254,
        pattern=r"^(|[^@\s]+@[^@\s]+\.[^@\s]+)$",
        extra={"privacy": Privacy.PERSONAL, "malformed": "not-an-email"},
    ),
]
Pin = Annotated[
    str,
    Meta(
        max_length=60,
        description="The PIN of whoever signs.",
        examples=["4711"],
        extra={"privacy": Privacy.SECRET},
    ),
]
