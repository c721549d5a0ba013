"""The registration form as data: the structs of `registration.json`, and its JSON Schema.

`registration.schema.json` beside this file is generated from these structs, whose docstrings are
its descriptions, and travels in each bundle beside the form. The log holds a salted digest of the
buyer's and the recipient's names, and the salt here lets anybody check one against the other.
"""

import json
from pathlib import Path
from typing import Annotated, Any, Final

import msgspec
from msgspec import Meta

SCHEMA_ID: Final = "urn:yardproof:registration:1"
SCHEMA: Final = Path(__file__).with_name("registration.schema.json")

Text = Annotated[str, Meta(min_length=1)]
Sha256 = Annotated[str, Meta(pattern="^[0-9a-f]{64}$", description="SHA-256 in hex.")]
Day = Annotated[str, Meta(pattern="^[0-9]{4}-[0-9]{2}-[0-9]{2}$", description="ISO 8601 date.")]
Moment = Annotated[
    str,
    Meta(pattern="^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9:.]+Z$", description="RFC 3339 moment in UTC."),
]


class Part(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A part of the form."""


class Machine(Part, frozen=True):
    """The unit, its serial exactly as on the plate."""

    id: Text
    maker: Text
    serial: Text
    model: Text
    model_name: Text
    model_revision: int
    options: tuple[str, ...]


class Dealer(Part, frozen=True):
    """Who registers."""

    name: Text
    site: Text
    site_name: Text


class Buyer(Part, frozen=True):
    """Who bought the unit."""

    reference: Annotated[str, Meta(min_length=1, description="How the log names the buyer.")]
    name: Text
    address: Text
    phone: str
    email: str
    salt: Text
    digest: Annotated[
        Sha256,
        Meta(
            description="As in the log: SHA-256 over the canonical JSON (RFC 8785) of the list "
            "[salt, name, address, phone, email]."
        ),
    ]


class Recipient(Part, frozen=True):
    """Who received the unit."""

    name: str
    relation: Annotated[str, Meta(min_length=1, description="What the recipient is to the buyer.")]
    language: Annotated[str, Meta(min_length=1, description="Language of the walk-through.")]
    salt: str
    digest: Annotated[
        Sha256,
        Meta(
            description="As in the log: SHA-256 over the canonical JSON (RFC 8785) of the list "
            "[salt, name]."
        ),
    ]


class Delivery(Part, frozen=True):
    """The handover."""

    id: Text
    date: Annotated[Day, Meta(description="ISO 8601 date at the yard.")]
    moment: Moment
    handed_over_by: Text
    use: Annotated[str, Meta(min_length=1, description="Own use, rental or commercial use.")]
    use_token: Annotated[str, Meta(min_length=1, description="`own`, `rental` or `commercial`.")]
    place: str
    hour_meter: str
    manual_given: bool
    shown: tuple[str, ...]
    shown_tokens: Annotated[
        tuple[str, ...], Meta(description="The same topics as the log names them.")
    ]


class Tractor(Part, frozen=True):
    """The buyer's tractor the unit was matched to."""

    code: Text
    name: Text
    data: dict[str, Any]


class Preparation(Part, frozen=True):
    """How the unit was prepared, and the certificate that says so."""

    procedure: Text
    revision: int
    procedure_sha256: Sha256
    released: Moment
    released_by: Text
    certificate: Text
    certificate_sha256: Sha256


class Log(Part, frozen=True):
    """Where the handover stands in the sealed log."""

    origin: Text
    entry: Annotated[int, Meta(ge=0, description="Position of the handover, counted from 0.")]
    size: Annotated[int, Meta(ge=1, description="Entries under the enclosed checkpoint.")]


class RegistrationForm(Part, frozen=True):
    """Registration of one unit's warranty."""

    form: Annotated[str, Meta(pattern=f"^{SCHEMA_ID}$")]
    number: Text
    version: Annotated[int, Meta(ge=1, description="Counted up with every resend.")]
    replaces: Annotated[str, Meta(description="Number of the version this one replaces.")]
    stands_in_for: Annotated[
        str,
        Meta(description="Number of the document of this version that this one stands in for."),
    ]
    stands_in_because: Annotated[
        str,
        Meta(
            description="What befell the file of that document: lost or damaged.",
            pattern="^(lost|damaged)?$",
        ),
    ]
    due: Annotated[
        str, Meta(description="Last day by the manufacturer's rule, if the rule is known.")
    ]
    unit: Machine
    dealer: Dealer
    buyer: Buyer
    recipient: Recipient
    delivery: Delivery
    tractor: Tractor
    preparation: Preparation
    required_by_model: Annotated[
        dict[str, str], Meta(description="Further answers the model's manufacturer asks for.")
    ]
    log: Log


def as_json(form: RegistrationForm) -> bytes:
    """The form as JSON, indented and in the order of the schema, so that people can read it too."""
    return json.dumps(msgspec.to_builtins(form), ensure_ascii=False, indent=2).encode() + b"\n"


def schema() -> bytes:
    """The JSON Schema (2020-12) of the form."""
    described: dict[str, Any] = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": SCHEMA_ID,
        **msgspec.json.schema(RegistrationForm),
    }
    return json.dumps(described, ensure_ascii=False, indent=2).encode() + b"\n"
