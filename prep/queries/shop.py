"""Reads about models, tractors, instruments and procedures."""

from typing import Any
from uuid import UUID

import msgspec

from prep.models import Instrument, MachineModel, ProcedureRevision, Unit
from prep.queries.records import procedure_by_digest
from prep.record.facts import InstrumentFacts, ModelFacts, TractorFacts
from prep.record.procedure import Procedure
from prep.record.refusal import Refusal
from prep.rules.catalogue import RuleRefusal


def model_facts(code: str) -> ModelFacts:
    """The present facts of a machine model."""
    return msgspec.convert(_facts(code, "machine"), ModelFacts)


def tractor_facts(code: str) -> TractorFacts:
    """The present facts of a tractor."""
    facts = _facts(code, "tractor")
    return TractorFacts(facts["code"], facts["name"], facts["data"])


def _facts(code: str, sort: str) -> dict[str, Any]:
    found = MachineModel.objects.filter(pk=code, sort=sort).values_list("facts", flat=True).first()
    if found is None:
        known = MachineModel.objects.filter(sort=sort).order_by("pk").values_list("pk", flat=True)
        what = "model" if sort == "machine" else "tractor"
        raise Refusal(
            f"no-such-{what}",
            f"There is no {what} “{code}”. Known: {', '.join(known) or 'none yet'}.",
            field=what,
        )
    return dict(found)


def all_model_facts() -> dict[str, ModelFacts]:
    """Every machine model by code."""
    found = MachineModel.objects.filter(sort="machine").values_list("facts", flat=True)
    return {facts.code: facts for facts in (msgspec.convert(f, ModelFacts) for f in found)}


def instrument_facts(code: str) -> InstrumentFacts:
    """The present facts of an instrument."""
    found = Instrument.objects.filter(pk=code).values_list("facts", flat=True).first()
    if found is None:
        raise Refusal(
            "no-such-instrument",
            f"There is no instrument “{code}”. Read the code on its label.",
            field="instrument",
        )
    return msgspec.convert(found, InstrumentFacts)


def instruments_at(site: str) -> list[InstrumentFacts]:
    """The instruments of a site, by kind and name."""
    found = Instrument.objects.filter(site=site).order_by("kind", "name")
    return [
        msgspec.convert(facts, InstrumentFacts) for facts in found.values_list("facts", flat=True)
    ]


def revision_in_force(procedure: str, revision: int) -> tuple[str, Procedure]:
    """A revision by its number: digest and procedure."""
    found = ProcedureRevision.objects.filter(procedure=procedure, revision=revision)
    digest = found.values_list("digest", flat=True).first()
    if digest is None:
        raise Refusal(
            "no-such-procedure",
            f"Procedure {procedure} has no revision {revision} in force.",
            field="revision",
        )
    return digest, procedure_by_digest(digest)


def revision_for(unit: UUID, procedure: str = "") -> tuple[str, Procedure]:
    """The newest revision that fits a unit's model and serial: digest and procedure."""
    row = Unit.objects.filter(pk=unit).values_list("model", "serial").first()
    if row is None:
        raise Refusal("no-such-unit", "There is no such unit.")
    model, serial = row
    if not model:
        raise Refusal("no-model", "Assign the model first; the procedure depends on it.")
    for digest in _newest(procedure):
        document = procedure_by_digest(digest)
        if model in document.models and _covers(document, serial):
            return digest, document
    raise Refusal(
        "no-procedure",
        f"No procedure in force fits model {model} and serial {serial}. Ask the service manager "
        "to publish one.",
        field="procedure",
    )


def _covers(document: Procedure, serial: str) -> bool:
    try:
        return document.serials is None or document.serials.covers(serial)
    except RuleRefusal:
        return False  # built differently than the range: another revision may be for it


def _newest(procedure: str) -> list[str]:
    found = ProcedureRevision.objects.order_by("-revision", "procedure")
    if procedure:
        found = found.filter(procedure=procedure)
    return list(found.values_list("digest", flat=True))
