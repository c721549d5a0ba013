"""Every kind of import there is; another is one more declaration here."""

from collections.abc import Mapping
from typing import Any, Final

import msgspec
import yaml
from django.utils.translation import gettext_noop as _

from prep.models import Instrument as InstrumentRow
from prep.models import MachineModel
from prep.record.buyer.commands import AddBuyer
from prep.record.command import Command
from prep.record.facts import InstrumentFacts, ModelFacts
from prep.record.instrument.commands import Instrument, RecordInstrument
from prep.record.model.commands import PublishModel
from prep.record.refusal import Refusal
from prep.record.struct_errors import convert
from prep.record.unit.commands.receiving import ReceiveUnit
from prep.rules.identity.look_alikes import look_alike_key, plain_key
from reports.imports.declared import Alike, Column, ImportKind, Values
from reports.imports.reading.values import CellKind

CODE, CODES, TEXT, LONG = CellKind.CODE, CellKind.CODES, CellKind.TEXT, CellKind.LONG

UNITS: Final = ImportKind(
    name="units",
    title=_("Units received"),
    explanation=_("Each row receives one unit at the yard, with the serial number on its plate."),
    command=ReceiveUnit,
    columns=(
        Column("maker", _("Manufacturer"), TEXT, True, ("make", "mfr"), "Larkfield"),
        Column("serial", _("Serial number"), CODE, True, ("serial no", "s/n", "sn"), "TC00017"),
        Column("model", _("Model"), CODE, False, ("model code",), "TC-12"),
        Column("options", _("Options, separated by commas"), CODES, False, (_("Options"),)),
        Column("plate", _("Plate, where it differs from the serial number"), CODE),
        Column("papers", _("Serial number on the papers"), CODE),
        Column("place", _("Location"), TEXT, False, ("bay",), "Row C, bay 4"),
        Column("note", _("Note"), LONG, False, ("notes", "remarks")),
        Column("checked_against", _("Serial numbers compared"), CODES),
    ),
    identity=lambda command: (plain_key(command.maker), plain_key(command.serial)),
    alike=Alike(
        key=lambda command: (plain_key(command.maker), look_alike_key(command.serial)),
        name=lambda command: command.serial,
        compared=lambda command: command.checked_against,
    ),
)


def _model_columns(code: str, maker: str, name: str) -> tuple[Column, ...]:
    return (
        Column("model", _("Code"), CODE, True, ("model code",), code),
        Column("revision", _("Revision"), CellKind.WHOLE, True, ("rev",), "1"),
        Column("maker", _("Manufacturer"), TEXT, True, ("make", "mfr"), maker),
        Column("name", _("Name"), TEXT, True, ("model name",), name),
        Column("note", _("Note"), LONG, True, ("notes", "remarks"), "From the price list"),
        Column("manual", _("Operator's manual"), TEXT),
        Column("options", _("Options, separated by commas"), CODES, False, (_("Options"),)),
    )


MODEL_FIELDS: Final = ("model", "revision", "maker", "name", "note", "manual", "options")


def _published(sort: str) -> Any:
    def made(values: Values, site: str) -> Command:
        own = {name: value for name, value in values.items() if name in MODEL_FIELDS}
        data = {name: value for name, value in values.items() if name not in MODEL_FIELDS}
        document = {**own, "sort": sort, "data": data}
        if "options" in own:
            document["options"] = list(own["options"])
        _check_sort(own["model"], sort)
        text = yaml.safe_dump(document, allow_unicode=True, sort_keys=False, width=1000)
        return PublishModel(document=text)

    return made


def _check_sort(code: str, sort: str) -> None:
    """A code that machines and tractors share would turn one into the other."""
    stored = MachineModel.objects.filter(pk=code).values_list("sort", flat=True).first()
    if stored is not None and stored != sort:
        raise Refusal("row-other-sort", field="model", model=code)


def _model_on_record(command: PublishModel) -> Values:
    stored = MachineModel.objects.filter(pk=command.draft().model).values_list("facts", flat=True)
    facts = stored.first()
    if facts is None:
        return {}
    present = msgspec.convert(facts, ModelFacts)
    return {
        "manual": present.manual,
        "options": present.options,
        "serial_scheme": present.serial_scheme,
        **present.data,
    }


def _code_of_model(command: PublishModel) -> str:
    return command.draft().model


MODELS: Final = ImportKind(
    name="models",
    title=_("Machine models"),
    explanation=_("Each row publishes a revision of a machine model with all of its data."),
    command=PublishModel,
    columns=_model_columns("TC-12", "Larkfield", "Larkfield TC-12 trailed cutter"),
    identity=_code_of_model,
    of_site=False,
    data=(("pto_type", "1"), ("pto_speed", "540 rpm"), ("mass", "1200 kg")),
    present=_model_on_record,
    made=_published("machine"),
)
TRACTORS: Final = ImportKind(
    name="tractors",
    title=_("Tractors"),
    explanation=_("Each row publishes a revision of a tractor model with all of its data."),
    command=PublishModel,
    columns=_model_columns("T-90", "Fenwick", "Fenwick 90"),
    identity=_code_of_model,
    of_site=False,
    data=(("pto_type", "1"), ("pto_power", "90 hp"), ("drawbar_distances", "14 in; 16 in")),
    present=_model_on_record,
    made=_published("tractor"),
)


def _recorded(values: Values, site: str) -> Command:
    facts: dict[str, Any] = dict(values)
    reason = facts.pop("reason")
    instrument = convert({"name": "", **facts}, Instrument)
    return RecordInstrument(site=site, instrument=instrument, reason=reason)


def _instrument_on_record(command: RecordInstrument) -> Values:
    row = InstrumentRow.objects.filter(pk=command.instrument.code).values_list("facts", flat=True)
    facts: Mapping[str, Any] | None = row.first()
    return msgspec.structs.asdict(msgspec.convert(facts, InstrumentFacts)) if facts else {}


INSTRUMENTS: Final = ImportKind(
    name="instruments",
    title=_("Tools and instruments"),
    explanation=_("Each row records one measuring tool of the yard as it now is."),
    command=RecordInstrument,
    columns=(
        Column("code", _("Code"), CODE, True, ("tool", "tool no"), "W-7"),
        Column("kind", _("Kind of tool"), TEXT, True, ("type",), "torque wrench"),
        Column("name", _("Name"), TEXT, True, ("description",), "Torque wrench W-7"),
        Column("quantity", _("Quantity measured"), TEXT, True, ("measures",), "torque"),
        Column("serial", _("Serial number"), CODE, False, ("serial no", "s/n", "sn"), "007107"),
        Column("low", _("Range from"), TEXT, False, ("min",), "16 ft·lbf"),
        Column("high", _("Range to"), TEXT, False, ("max",), "80 ft·lbf"),
        Column("resolution", _("Resolution"), TEXT, False, (), "0.5 ft·lbf"),
        Column("percent_of_reading", _("Accuracy, % of reading"), TEXT, False, (), "4"),
        Column("percent_of_scale", _("Accuracy, % of full scale"), TEXT),
        Column("absolute", _("Accuracy, fixed amount"), TEXT),
        Column("calibrated", _("Calibrated on"), CellKind.DAY, False, (), "2026-09-14"),
        Column("due", _("Calibration due"), CellKind.DAY, False, ("due",), "2027-09-30"),
        Column("certificate", _("Calibration certificate"), TEXT, False, ("cert",)),
        Column("out_of_service", _("Out of service because"), TEXT),
        Column("reason", _("Reason"), LONG, True, ("change",), "First list of the yard's tools"),
    ),
    identity=lambda command: command.instrument.code,
    present=_instrument_on_record,
    made=_recorded,
)

BUYERS: Final = ImportKind(
    name="buyers",
    title=_("Buyers"),
    explanation=_("Each row adds one buyer of the yard."),
    command=AddBuyer,
    columns=(
        Column("name", _("Buyer"), TEXT, True, (_("Name"), "customer"), "Pat Example"),
        Column(
            "address",
            _("Mailing address, for the registration"),
            LONG,
            False,
            (_("Address"), "mailing address"),
            "12 Example Road, Anytown",
        ),
        Column("phone", _("Phone"), TEXT, False, ("telephone", "tel"), "605 555 0100"),
        Column("email", _("E-mail"), TEXT, False, ("e-mail address", "mail"), "pat@example.com"),
    ),
    identity=lambda command: (
        command.name.casefold(),
        command.address.casefold(),
        command.phone,
        command.email.casefold(),
    ),
)

IMPORTS: Final[dict[str, ImportKind]] = {
    kind.name: kind for kind in (UNITS, MODELS, TRACTORS, INSTRUMENTS, BUYERS)
}


def import_kind(name: str) -> ImportKind:
    """A kind of import by its name; raises Refusal where there is none."""
    if name not in IMPORTS:
        raise Refusal("no-such-import-kind", field="kind", typed=name, known=tuple(IMPORTS))
    return IMPORTS[name]
