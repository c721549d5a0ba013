"""Imports: send a file, run it, stop it, start it again, and see what was found."""

import hashlib
from collections.abc import Mapping, Sequence
from datetime import timedelta
from pathlib import PurePath
from typing import Final
from uuid import UUID

from django.db import transaction
from django.db.models import Count, QuerySet
from django.utils import timezone

from prep.actions.streams.sites import roles_at_named_site
from prep.models import Person
from prep.queries.people import sites_of
from prep.queries.tokens import asked_by
from prep.record.command import permit
from prep.record.refusal import Refusal
from prep.record.roles import Role
from prep.record.token.scopes import allow
from reports import queue
from reports.imports.declared import ImportKind
from reports.imports.files import opened
from reports.imports.kinds import IMPORTS, import_kind
from reports.imports.reading.limits import MOST_ROWS
from reports.imports.rows import RowReader
from reports.models import Import, ImportProblem, Stage, State

KEPT: Final = timedelta(days=30)  # for problems, and for the file of an import that is not run
LONGEST_NAME: Final = 200


def accept(
    *,
    actor: Person,
    kind: str,
    content: bytes,
    name: str,
    command: UUID,
    site: str = "",
    run: bool = False,
    skip_problems: bool = False,
) -> Import:
    """Accept a file for a person, to be checked, and then run where that is asked for.

    Sent twice under one command it is the same import. Raises Refusal where the person may not give
    the rows' command, and where the file is no table of this kind.
    """
    wanted = import_kind(kind)
    site = _site(actor, wanted, site)
    _permit(actor, wanted, site)
    digest = hashlib.sha256(content).hexdigest()
    name = PurePath(name.replace("\\", "/")).name[-LONGEST_NAME:]
    asked = {
        "kind": kind,
        "site_id": site or None,
        "digest": digest,
        "run": run,
        "skip_problems": skip_problems,
    }
    known = Import.objects.filter(pk=command).first()
    if known is None:
        file = opened(content, name, wanted, site)
        notices = [{"code": one.code, "values": one.values} for one in file.notices]
        rows = _count(file.reader)
        known, new = Import.objects.get_or_create(
            pk=command,
            defaults={
                **asked,
                "person": actor,
                "token": actor.access.program,
                "name": name,
                "content": content,
                "notices": notices,
                "steps_total": rows,
            },
        )
        if new:
            _forget_old()
            transaction.on_commit(queue.notify)
    _check_same(known, actor, asked)
    return known


def _site(person: Person, kind: ImportKind, site: str) -> str:
    """The yard of the rows: the one given, else the only one where the person works."""
    if not kind.of_site:
        if site:
            raise Refusal("import-site-unwanted", field="site")
        return ""
    if site:
        return site
    sites = yards_for(person, kind)
    if not sites:
        permit(kind.command, frozenset())
    if len(sites) != 1:
        raise Refusal("import-site-missing", field="site")
    return sites[0]


def _permit(person: Person, kind: ImportKind, site: str) -> None:
    allow(kind.command, person.access)
    permit(kind.command, roles_at_named_site(person, site).roles if site else _anywhere(person))


def _anywhere(person: Person) -> frozenset[Role]:
    held = sites_of(person).values()
    return frozenset(role for roles in held for role in roles)


def yards_for(person: Person, kind: ImportKind) -> list[str]:
    """The yards where a person may give the command of a kind's rows."""
    allowed = kind.command.permission.roles
    return [site for site, roles in sites_of(person).items() if roles & allowed]


def kinds_for(sites: Mapping[str, frozenset[Role]]) -> list[ImportKind]:
    """The kinds of import whose rows somebody with these roles may carry out at a yard."""
    held = frozenset(role for roles in sites.values() for role in roles)
    return [kind for kind in IMPORTS.values() if kind.command.permission.roles & held]


def _count(reader: RowReader) -> int:
    """The number of rows. Reads the whole file, so that it is refused at once where it breaks."""
    count = 0
    for row in reader.rows():
        count += 1
        if row.line > MOST_ROWS:
            raise Refusal("table-too-long", most=MOST_ROWS)
    if not count:
        raise Refusal("table-empty")
    return count


def _check_same(job: Import, person: Person, asked: Mapping[str, object]) -> None:
    """Refuse an id that was used by somebody else, or for another file."""
    given = ("kind", "site_id", "digest")  # `run` may have been asked for since
    if job.person_id != person.pk or any(getattr(job, name) != asked[name] for name in given):
        raise Refusal("command-reused")


def imports_by(person: Person) -> QuerySet[Import]:
    """Imports a person sent, newest first; nobody else sees them."""
    return Import.objects.filter(asked_by(person)).defer("content").order_by("-created")


def import_of(person: Person, import_id: UUID) -> Import:
    """One import a person sent; Refusal where there is none."""
    job = imports_by(person).filter(pk=import_id).first()
    if job is None:
        raise Refusal("no-such-import")
    return job


def import_to_change(person: Person, import_id: UUID) -> Import:
    """One import a person sent, to run or stop it; Refusal where they were not let in for that."""
    job = import_of(person, import_id)
    allow(import_kind(job.kind).command, person.access)
    return job


def problems_of(job: Import) -> QuerySet[ImportProblem]:
    """The problems of an import by line and column."""
    return ImportProblem.objects.filter(of=job).order_by("line", "column", "pk")


def start(job: Import, *, skip_problems: bool) -> None:
    """Run a checked import; done twice it is run once. Refusal where it is not checked or not fit.

    Rows with problems are left out where `skip_problems` is chosen; else, where there are any,
    nothing is done.
    """
    with transaction.atomic():
        row = Import.objects.select_for_update().defer("content").get(pk=job.pk)
        if row.stage == Stage.CHECK:
            _start(row, skip_problems=skip_problems)
        elif row.state in {State.FAILED, State.CANCELLED}:
            queue.again(Import.objects.filter(pk=row.pk), State.FAILED, State.CANCELLED)
        elif row.skip_problems != skip_problems:
            raise Refusal("import-ran")
        transaction.on_commit(queue.notify)
    job.refresh_from_db()


def _start(row: Import, *, skip_problems: bool) -> None:
    if row.state in queue.UNFINISHED:
        raise Refusal("import-busy")
    if row.state != State.DONE:
        raise Refusal("import-not-checked")
    if not Import.objects.filter(pk=row.pk).exclude(content=None).exists():
        raise Refusal("import-file-erased")
    problems = problems_of(row).count()
    if problems and not skip_problems:
        raise Refusal("import-has-problems", count=problems)
    Import.objects.filter(pk=row.pk).update(
        stage=Stage.RUN,
        run=True,
        skip_problems=skip_problems,
        state=State.WAITING,
        due=timezone.now(),
        tries=0,
        next_line=0,
        steps_done=0,
        finished=None,
    )


def stop(job: Import) -> None:
    """Stop an import after the row in hand; Refusal where it is not being worked on."""
    unfinished = Import.objects.filter(pk=job.pk, state__in=queue.UNFINISHED)
    if not unfinished.update(state=State.CANCELLED, worker=None, lease_until=None):
        raise Refusal("already-finished")
    job.refresh_from_db(fields=["state"])


def resume(job: Import) -> None:
    """Go on with an import that stopped or failed, where it was; Refusal in any other state."""
    stopped = Import.objects.filter(pk=job.pk).exclude(content=None)
    if not queue.again(stopped, State.FAILED, State.CANCELLED):
        raise Refusal("not-stopped")
    job.refresh_from_db(fields=["state"])
    transaction.on_commit(queue.notify)


def problem_counts(jobs: Sequence[Import]) -> dict[UUID, int]:
    """The number of problems of each of several imports. One query."""
    found = ImportProblem.objects.filter(of__in=[job.pk for job in jobs])
    counts = found.values_list("of").annotate(count=Count("pk")).order_by()
    return {job.pk: 0 for job in jobs} | dict(counts)


def _forget_old() -> None:
    """Erase files that were never run, and problems long read: they may hold personal data."""
    old = Import.objects.filter(created__lt=timezone.now() - KEPT)
    old = old.exclude(state__in=queue.UNFINISHED)
    ImportProblem.objects.filter(of__in=old.values("pk")).delete()
    old.exclude(content=None).update(content=None)
