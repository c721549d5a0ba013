"""Endpoints of models and tractors: list, look at."""

from typing import Any

import msgspec

from api.operations import View, reads
from prep.queries.models import model_of, model_rows
from prep.record.facts import ModelFacts


class ModelRow(msgspec.Struct, frozen=True, kw_only=True):
    """A model in a list."""

    code: str
    maker: str
    name: str
    revision: int


class ModelList(msgspec.Struct, frozen=True, kw_only=True):
    """Models by name."""

    items: list[ModelRow]


class ModelsView(View):
    """Machine models."""

    tag = "models"

    @reads
    def get(self) -> ModelList:
        """List machine models."""
        rows: Any = model_rows("machine")
        return ModelList(items=rows)


class ModelView(View):
    """One machine model."""

    tag = "models"

    @reads
    def get(self, code: str) -> ModelFacts:
        """Look at a machine model."""
        return model_of(code, "machine")


class TractorsView(View):
    """Tractors."""

    tag = "models"

    @reads
    def get(self) -> ModelList:
        """List tractors."""
        rows: Any = model_rows("tractor")
        return ModelList(items=rows)


class TractorView(View):
    """One tractor."""

    tag = "models"

    @reads
    def get(self, code: str) -> ModelFacts:
        """Look at a tractor."""
        return model_of(code, "tractor")
