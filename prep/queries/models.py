"""Models and tractors. One query each."""

from collections.abc import Iterable
from typing import Any

import msgspec
from django.db.models import Q

from prep.models import MachineModel
from prep.queries.listing.declaration import Row
from prep.record.facts import ModelFacts, TractorFacts
from prep.record.procedure.checks.known import PublishedModels
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


def models_for(codes: Iterable[str]) -> PublishedModels:
    """What a procedure for these models is held against: them, and every tractor. Two queries."""
    known = MachineModel.objects.filter(sort="machine").order_by("pk").values_list("pk", flat=True)
    stored = MachineModel.objects.filter(Q(pk__in=list(codes)) | Q(sort="tractor"))
    by_sort: dict[str, dict[str, ModelFacts]] = {"machine": {}, "tractor": {}}
    for sort, facts in stored.order_by("pk").values_list("sort", "facts"):
        by_sort[sort][facts["code"]] = msgspec.convert(facts, ModelFacts)
    return PublishedModels(by_sort["machine"], by_sort["tractor"], tuple(known))


def machines(codes: Iterable[str]) -> dict[str, ModelFacts]:
    """Facts of machine models by their codes. One query."""
    stored = MachineModel.objects.filter(pk__in=list(codes), sort="machine").order_by("pk")
    facts = (msgspec.convert(one, ModelFacts) for one in stored.values_list("facts", flat=True))
    return {one.code: one for one in facts}
