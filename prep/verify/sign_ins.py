"""Verification of sign-ins to the API: no event tells of one, so each row proves itself."""

from collections.abc import Iterator

from prep.actions.accounts.fingerprints import fits
from prep.actions.accounts.tokens import FIELD
from prep.models import Token
from prep.verify.findings import Finding, Tell


def sign_ins(tell: Tell) -> Iterator[Finding]:
    """Check that the service itself made every sign-in there is, as it stands."""
    rows = Token.objects.filter(signed_in=True).select_related("person").order_by("pk")
    total = rows.count()
    for done, row in enumerate(rows.iterator(), start=1):
        if fits(row.fingerprint, str(row.person_id), FIELD, row.said()) is False:
            yield Finding("sign-in", str(row.pk), "sign-in-added", {"person": str(row.person)})
        tell("sign-ins", done, total)
