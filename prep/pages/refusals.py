"""A refusal as a page shows it."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from django.http import HttpRequest
from django.utils import timezone

from prep.queries.readers import reader_of
from prep.record.refusal import Refusal
from prep.words.refusals import refusal_details, refusal_text


@dataclass(frozen=True)
class ShownRefusal:
    """A refusal in the reader's words, with its code and details."""

    text: str
    code: str
    details: Mapping[str, Any]


def shown_refusal(refusal: Refusal, request: HttpRequest) -> ShownRefusal:
    """A refusal in the words of whoever sent the request."""
    reader = replace(reader_of(request.user), time_zone=timezone.get_current_timezone_name())
    text = refusal_text(refusal, reader)
    return ShownRefusal(text, refusal.code, refusal_details(refusal, reader))
