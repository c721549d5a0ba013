"""Verification of the yard page's counts: each against the rows that it counts."""

from collections import Counter
from collections.abc import Iterator

from django.db import transaction

from prep.models import Site, Unit, UnitCount
from prep.record.unit.views.facets import FACETS, facets
from prep.verify.findings import Finding, Tell

PAGE = 2000
COLUMNS = (
    *("handed_over", "ready_for_stock", "ready_for_buyer"),
    *("buyer", "open_flags", "registration", "joined_into"),
)


def counts(tell: Tell) -> Iterator[Finding]:
    """Check the counts of every site."""
    sites = list(Site.objects.values_list("code", flat=True))
    for done, site in enumerate(sites, 1):
        if any(_site(site)):
            # Again while nobody can change them: something may have been recorded in between.
            with transaction.atomic():
                list(UnitCount.objects.select_for_update().filter(site=site).order_by("facet"))
                findings = list(_site(site))
            yield from findings
        tell("counts", done, len(sites))


def _site(site: str) -> Iterator[Finding]:
    kept = dict(UnitCount.objects.filter(site=site).values_list("facet", "units"))
    counted: Counter[str] = Counter()
    for row in Unit.objects.filter(site=site).values(*COLUMNS).iterator(PAGE):
        counted.update(facets(row))
    for facet in FACETS:
        if kept.get(facet, 0) != counted[facet]:
            values = {
                "site": site,
                "facet": facet,
                "kept": kept.get(facet, 0),
                "counted": counted[facet],
            }
            yield Finding("count", f"{site} {facet}", "count-wrong", values)
