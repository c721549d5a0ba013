"""Endpoints of one model and of one tractor."""

import msgspec

from api.drafts import DraftBody, rehearsed
from api.operations import View, asks, reads
from api.throttles import Check, Write
from prep.queries.models import model_of
from prep.record.facts import ModelFacts
from prep.record.model.commands import PublishModel
from prep.record.token.scopes import READ, Scope


class CheckedModel(msgspec.Struct, frozen=True, kw_only=True):
    """A model or a tractor that may be published as it is; `sort` says which of the two."""

    code: str
    revision: int
    sort: str


class ModelCheckView(View):
    """A model or a tractor looked through before it is published."""

    tag = "models"
    asking = frozenset({Scope.MANAGE})
    throttle_classes = (Write, Check)

    @asks
    def post(self, body: DraftBody) -> CheckedModel:
        """Check a model or a tractor: all that publishing it does, and nothing has happened.

        Every problem is named, with its place in the document and what may stand there; a
        procedure in force that would no longer work is named with its step.
        """
        event = rehearsed(PublishModel(document=body.document), self.person)
        return CheckedModel(code=event.facts.code, revision=event.facts.revision, sort=event.sort)


class ModelView(View):
    """One machine model."""

    tag = "models"
    reading = READ

    @reads
    def get(self, code: str) -> ModelFacts:
        """Look at a machine model."""
        return model_of(code, "machine")


class TractorView(View):
    """One tractor."""

    tag = "models"
    reading = READ

    @reads
    def get(self, code: str) -> ModelFacts:
        """Look at a tractor."""
        return model_of(code, "tractor")
