"""Endpoints of models and tractors: list, look at, publish."""

from typing import Any

import msgspec

from api.inputs import CommandBody, Document
from api.operations import View, commands, reads
from prep.actions import models
from prep.actions.write_path import Command
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


class PublishBody(CommandBody, frozen=True, kw_only=True):
    """The document to publish."""

    document: Document


class Published(msgspec.Struct, frozen=True, kw_only=True):
    """The revision published. `digest` is that of a procedure, and empty for a model."""

    code: str
    revision: int
    digest: str


class ModelsView(View):
    """Machine models."""

    tag = "models"

    @reads
    def get(self) -> ModelList:
        """List machine models."""
        rows: Any = model_rows("machine")
        return ModelList(items=rows)

    @commands()
    def post(self, command: Command, body: PublishBody) -> Published:
        """Publish a model's or a tractor's data."""
        published = models.publish_model(actor=self.person, command=command, text=body.document)
        return Published(code=published.model, revision=published.revision, digest="")


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
