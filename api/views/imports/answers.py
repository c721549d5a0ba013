"""What the API says of an import."""

from collections.abc import Sequence
from datetime import datetime
from typing import Final
from uuid import UUID

import msgspec
from django.http import HttpResponse
from django.utils.http import content_disposition_header

from prep.words.imports.problems import notice_text
from prep.words.imports.states import import_state
from prep.words.reader import Reader
from reports import imports, queue
from reports.models import Import

COLUMNS: Final = (
    "id",
    "kind",
    "name",
    "digest",
    "stage",
    "state",
    "skip_problems",
    "fit",
    "made",
    "created",
    "finished",
)


class ShownImport(msgspec.Struct, frozen=True, kw_only=True):
    """An import: `stage` is `check` or `run`, `state` where that stage stands.

    A state is `waiting`, `working`, `done`, `failed` or `cancelled`, and `state_text` says both in
    words. `fit` rows of `rows` can be carried out, `made` were. `digest` is the file's SHA-256.
    """

    id: UUID
    kind: str
    site: str | None
    name: str
    digest: str
    stage: str
    state: str
    state_text: str
    skip_problems: bool
    rows: int
    rows_done: int
    fit: int
    made: int
    problems: int
    notices: tuple[str, ...]
    failure: str
    created: datetime
    finished: datetime | None


def shown_all(jobs: Sequence[Import], reader: Reader) -> list[ShownImport]:
    """Imports in the shape the API returns."""
    counts = imports.problem_counts(jobs)
    return [_shown(job, reader, counts[job.pk]) for job in jobs]


def shown(job: Import, reader: Reader) -> ShownImport:
    """One import in that shape."""
    return shown_all([job], reader)[0]


def _shown(job: Import, reader: Reader, problems: int) -> ShownImport:
    return ShownImport(
        site=job.site_id,
        state_text=import_state(job.stage, job.state, reader),
        rows=job.steps_total,
        rows_done=job.steps_done,
        problems=problems,
        notices=tuple(notice_text(one["code"], one["values"], reader) for one in job.notices),
        failure=queue.failure_of(job, reader),
        **{name: getattr(job, name) for name in COLUMNS},
    )


def table(content: bytes, name: str, ending: str) -> HttpResponse:
    """A table as a download."""
    disposition = content_disposition_header(as_attachment=True, filename=f"{name}.{ending}")
    headers = {"Content-Disposition": str(disposition)}
    return HttpResponse(content, content_type=imports.MEDIA_TYPES[ending], headers=headers)
