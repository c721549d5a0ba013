"""Endpoints of one model and of one tractor."""

from api.operations import View, reads
from prep.queries.models import model_of
from prep.record.facts import ModelFacts


class ModelView(View):
    """One machine model."""

    tag = "models"

    @reads
    def get(self, code: str) -> ModelFacts:
        """Look at a machine model."""
        return model_of(code, "machine")


class TractorView(View):
    """One tractor."""

    tag = "models"

    @reads
    def get(self, code: str) -> ModelFacts:
        """Look at a tractor."""
        return model_of(code, "tractor")
