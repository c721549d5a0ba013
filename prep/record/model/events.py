"""Events of the stream of a machine or tractor model."""

from prep.record.facts import ModelFacts
from prep.record.log.reference_event import ReferenceEvent


class ModelPublished(ReferenceEvent, frozen=True, tag="model.published"):
    """A revision of a model's or a tractor's data."""

    facts: ModelFacts
    sort: str
