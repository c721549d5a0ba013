"""The form of a command, made from its struct: its fields, what may be chosen, what was typed."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final, get_args, get_origin, get_type_hints

import msgspec
from django.conf import settings
from django.http import QueryDict
from django.utils import timezone

from prep.queries.listing.declaration import Row
from prep.queries.manufacturers import all_manufacturers
from prep.queries.models import model_rows
from prep.queries.procedures import procedure_rows
from prep.queries.units import joinable
from prep.record.command import Command
from prep.record.fields import Privacy, meta_of
from prep.record.procedure.document import Step
from prep.record.roles import Role
from prep.record.token.scopes import OF_SYSTEMS, Scope
from prep.record.unit.commands.handovers import MUST_SHOW
from prep.record.unit.commands.photos import photos_to_mark
from prep.record.unit.commands.plates import plate_photos
from prep.record.unit.commands.releases import sheet_digest
from prep.record.unit.events import PhotoAttached
from prep.record.unit.guards import can_reopen, fits
from prep.record.unit.state import Record
from prep.words.commands import label
from prep.words.dates import moment
from prep.words.people.states import (
    CARD_KINDS,
    NUMBERS,
    UNITS,
    card_kind,
    numbers_text,
    units_text,
)
from prep.words.permissions import role_text, scope_text
from prep.words.reader import Reader
from prep.words.unit.flags import flag_text
from prep.words.unit.handovers import USES, first_use, topic

Choices = list[tuple[str, str]]

# Fields that a unit's page knows by itself.
KNOWN_TO_THE_PAGE: Final = frozenset({"site", "buyer"})

# Kinds of field in which something is always chosen.
ALWAYS_CHOSEN: Final = frozenset({"language", "units", "numbers"})

# Kinds of field whose choices are ticked, as many as apply.
TICKED: Final = frozenset({"topics", "step-to-reopen", "roles", "scope", "system-scope"})


@dataclass(frozen=True)
class Field:
    """One field: its name (dotted inside another), its kind, and whether it must be filled in.

    `kind` is text, long, yes, pin, several, or what there is to choose from; `input` is the type of
    the control that a text is typed into.
    """

    name: str
    kind: str
    required: bool
    several: bool
    default: Any
    input: str = "text"


def fields_of(command: type[msgspec.Struct], prefix: str = "") -> Iterator[Field]:
    """The fields a person fills in, in the order of the struct."""
    hints = get_type_hints(command, include_extras=True)
    for field in msgspec.structs.fields(command):
        if field.name in KNOWN_TO_THE_PAGE and not prefix:
            continue
        hint = _without_none(hints[field.name])
        if isinstance(hint, type) and issubclass(hint, msgspec.Struct):
            yield from fields_of(hint, f"{field.name}.")
            continue
        several = get_origin(_bare(hint)) is tuple
        default = meta_of(hint).get("suggest")
        if field.default is not msgspec.NODEFAULT:
            default = field.default
        kind, typed = _kind(hint, several), str(meta_of(hint).get("input", "text"))
        yield Field(prefix + field.name, kind, field.required, several, default, typed)


def _kind(hint: Any, several: bool) -> str:
    extra = meta_of(hint)
    if several and "choose" not in extra:
        extra = meta_of(get_args(_bare(hint))[0])
    if extra.get("privacy") == Privacy.SECRET:
        return "pin"
    if "choose" in extra:
        return str(extra["choose"])
    if _bare(hint) is bool:
        return "yes"
    if extra.get("long"):
        return "long"
    return "several" if several else "text"


def _bare(hint: Any) -> Any:
    return getattr(hint, "__origin__", hint) if hasattr(hint, "__metadata__") else hint


def _without_none(hint: Any) -> Any:
    parts = [part for part in get_args(hint) if part is not type(None)]
    return parts[0] if type(None) in get_args(hint) else hint


def shown_fields(
    command: type[Command],
    record: Record,
    sent: QueryDict,
    filled: Mapping[str, str],
    reader: Reader,
) -> list[dict[str, Any]]:
    """The fields for the template: choices, and the value typed before, filled in, or default."""
    return [
        {
            "name": field.name,
            "label": label(command.tag(), field.name, reader),
            "kind": field.kind,
            "input": field.input,
            "required": field.required,
            "optional": not field.required and field.kind not in ALWAYS_CHOSEN,
            "value": _value(field, record, sent, filled),
            "ticked": field.kind in TICKED,
            "picked": _picked(field, sent),
            "choices": choices_of(field.kind, record, reader),
        }
        for field in fields_of(command)
    ]


def _value(field: Field, record: Record, sent: QueryDict, filled: Mapping[str, str]) -> str:
    if field.kind == "pin":
        return ""
    if field.kind == "seen":
        return sheet_digest(record)
    if field.kind == "hidden":  # what is looked at now, not what was when the form was sent
        return filled.get(field.name, "")
    default = "" if field.default in (None, ()) else str(field.default)
    return str(sent.get(field.name, filled.get(field.name, default)))


def _picked(field: Field, sent: QueryDict) -> list[str]:
    """What is picked: as sent, else the default of a yes/no field."""
    if sent:
        return [str(value) for value in sent.getlist(field.name)]
    return ["yes"] if field.default is True else []


def read_form(command: type[Command], sent: QueryDict) -> dict[str, Any]:
    """The values of a sent form, by field, in the shape of the struct."""
    values: dict[str, Any] = {}
    for field in fields_of(command):
        outer, _, inner = field.name.partition(".")
        place = values.setdefault(outer, {}) if inner else values
        place[inner or outer] = _sent(field, sent)
    return {name: value for name, value in values.items() if value is not None}


def _sent(field: Field, sent: QueryDict) -> Any:
    """A field's value; None leaves it to its default."""
    if field.kind == "yes":
        return field.name in sent
    if field.kind == "several":
        return [part.strip() for part in str(sent.get(field.name, "")).split(",") if part.strip()]
    if field.several:
        return [str(value) for value in sent.getlist(field.name)]
    text = str(sent.get(field.name, "")).strip()
    return text if text or field.required or field.default in ("", None) else None


def choices_of(kind: str, record: Record, reader: Reader) -> Choices:
    """What may be chosen in a field of a kind: value and words."""
    listed = _CHOICES.get(kind)
    return listed(record, reader) if listed else []


def _procedures_for(record: Record) -> list[Row]:
    """The revisions a sheet can be moved to: of its procedure, or of any for its model."""
    assert record.procedure is not None
    if fits(record) or record.model is None:
        return procedure_rows(record.procedure.procedure)
    return [row for row in procedure_rows() if record.model.code in row["model_codes"]]


def _procedures(record: Record, _: Reader) -> Choices:
    rows = _procedures_for(record) if record.procedure else []
    return list({row["procedure"]: row["title"] for row in rows}.items())


def _other_revisions(record: Record, _: Reader) -> Choices:
    """The revisions in force of the sheet's procedure, without the one it is on."""
    if record.procedure is None:
        return []
    rows = _procedures_for(record)
    present = record.procedure.revision if fits(record) else 0
    return [
        (str(row["revision"]), f"{row['revision']} ({row['title']})")
        for row in rows
        if row["revision"] != present
    ]


def _plate_photos(record: Record, reader: Reader) -> Choices:
    taken = {photo.photo: timezone.localtime(stamp.happened) for photo, stamp in record.photos}
    return [
        (photo.photo, " · ".join(filter(None, (moment(taken[photo.photo], reader), photo.note))))
        for photo in plate_photos(record)
    ]


def _photos_to_mark(record: Record, reader: Reader, *, people: bool) -> Choices:
    """Photos by when they were taken and what of."""
    taken = {photo.photo: timezone.localtime(stamp.happened) for photo, stamp in record.photos}
    return [
        (one.photo, " · ".join(filter(None, (moment(taken[one.photo], reader), _of(one, record)))))
        for one in photos_to_mark(record, people=people)
    ]


def _of(photo: PhotoAttached, record: Record) -> str:
    """What a photo is of: what its line asks, or the note typed with it."""
    step = record.procedure.steps.get(photo.step) if record.procedure else None
    line = step.by_line.get(photo.line) if step else None
    return line.ask if line else photo.note


_CHOICES: Final[dict[str, Callable[[Record, Reader], Choices]]] = {
    "model": lambda r, _: [(row["code"], row["name"]) for row in model_rows("machine")],
    "tractor": lambda r, _: [(row["code"], row["name"]) for row in model_rows("tractor")],
    "flag": lambda r, reader: [(flag.id, flag_text(flag.about, reader)) for flag in r.open_flags()],
    "shortage": lambda r, _: [
        (key, shortage.event.part)
        for key, shortage in r.shortages.items()
        if shortage.arrived is None
    ],
    "step": lambda r, _: [(step.step, step.title) for step in _steps(r)],
    "step-to-reopen": lambda r, _: [
        (step.step, step.title) for step in _steps(r) if can_reopen(r, step)
    ],
    "procedure": _procedures,
    "revision": _other_revisions,
    "joinable": lambda r, _: joinable(r),
    "language": lambda r, _: list(settings.LANGUAGES),
    "units": lambda r, reader: [(token, units_text(token, reader)) for token in UNITS],
    "numbers": lambda r, reader: [(token, numbers_text(token, reader)) for token in NUMBERS],
    "role": lambda r, reader: [(role.value, role_text(role, reader)) for role in Role],
    "roles": lambda r, reader: [(role.value, role_text(role, reader)) for role in Role],
    "scope": lambda r, reader: [(scope.value, scope_text(scope, reader)) for scope in Scope],
    "system-scope": lambda r, reader: [(one.value, scope_text(one, reader)) for one in OF_SYSTEMS],
    "card-kind": lambda r, reader: [(token, card_kind(token, reader)) for token in CARD_KINDS],
    "maker": lambda r, _: [(maker.name, maker.name) for maker in all_manufacturers()],
    "plate-photo": _plate_photos,
    "photo-to-mark": lambda r, reader: _photos_to_mark(r, reader, people=True),
    "photo-to-unmark": lambda r, reader: _photos_to_mark(r, reader, people=False),
    "topics": lambda r, reader: [(token, topic(token, reader)) for token in MUST_SHOW],
    "uses": lambda r, reader: [(token, first_use(token, reader)) for token in USES],
    "registration": lambda r, _: [
        (document.document, document.number)
        for document, _ in reversed(r.documents)
        if document.document_kind == "registration"
    ],
}


def _steps(record: Record) -> list[Step]:
    return list(record.procedure.steps.values()) if record.procedure else []
