"""Models and tractors. One query each."""

from typing import Any

import msgspec

from prep.models import MachineModel
from prep.queries.listing.declaration import Row
from prep.record.facts import ModelFacts, TractorFacts
from prep.record.refusal import Refusal


def model_rows(sort: str) -> list[Row]:
    """Rows of the models of a sort, “machine” or “tractor”, sorted by name."""
    models = MachineModel.objects.filter(sort=sort).order_by("name", "code")
    return [dict(row) for row in models.values("code", "maker", "name", "revision")]


def model_of(code: str, sort: str) -> ModelFacts:
    """Present facts of a machine or tractor model; Refusal where there is none."""
    facts = MachineModel.objects.filter(pk=code, sort=sort).values_list("facts", flat=True).first()
    if facts is None:
        what = "model" if sort == "machine" else "tractor"
        raise Refusal(f"no-such-{what}", wanted=code)
    return msgspec.convert(facts, ModelFacts)


def model_facts(code: str) -> ModelFacts:
    """Present facts of a machine model; Refusal, naming those known, where there is none."""
    return msgspec.convert(_facts(code, "machine"), ModelFacts)


def tractor_facts(code: str) -> TractorFacts:
    """Present facts of a tractor model; Refusal, naming those known, where there is none."""
    facts = _facts(code, "tractor")
    return TractorFacts(facts["code"], facts["name"], facts["data"])


def _facts(code: str, sort: str) -> dict[str, Any]:
    facts = MachineModel.objects.filter(pk=code, sort=sort).values_list("facts", flat=True).first()
    if facts is None:
        known = MachineModel.objects.filter(sort=sort).order_by("pk").values_list("pk", flat=True)
        what = "model" if sort == "machine" else "tractor"
        raise Refusal(f"no-such-{what}", field=what, wanted=code, known=tuple(known))
    return dict(facts)


def all_model_facts() -> dict[str, ModelFacts]:
    """Facts of all machine models, by code."""
    stored = MachineModel.objects.filter(sort="machine").values_list("facts", flat=True)
    return {facts.code: facts for facts in (msgspec.convert(f, ModelFacts) for f in stored)}
