"""System checks: settings under which a guard of the service would guard nothing."""

from collections.abc import Iterator
from typing import Any, Final

from django.conf import settings
from django.core.checks import CheckMessage, Error, Tags, Warning, register
from django.core.exceptions import ImproperlyConfigured

SHORTEST: Final = 32  # characters of a secret key
FEWEST: Final = 8  # different characters of it
MAKE_ONE: Final = (
    'Set YARDPROOF_SECRET_KEY to a random text, such as python -c "import secrets; '
    'print(secrets.token_urlsafe(50))" prints; in the embedded profile remove the file secret_key '
    "in the data folder, and one is made. People then sign in again, and verification names "
    "accounts that were recorded under the former key unless it is in SECRET_KEY_FALLBACKS."
)


@register(Tags.security)
def secret_keys(**options: Any) -> list[CheckMessage]:
    """An error for each secret key that somebody could guess."""
    return [
        Error(f"The secret key is {fault}.", hint=MAKE_ONE, id="yardproof.E001")
        for key in _keys()
        if (fault := _fault(key))
    ]


@register(Tags.security, deploy=True)
def deployment(**options: Any) -> list[CheckMessage]:
    """What a service that others reach must not have, asked for by `check --deploy`."""
    found: list[CheckMessage] = []
    if not settings.HTTPS:
        found.append(
            Error(
                "Passwords and PINs travel unencrypted.",
                hint="Put a proxy with a certificate in front, and set YARDPROOF_HTTPS=yes.",
                id="yardproof.E002",
            )
        )
    if any(host.startswith(("*", ".")) for host in settings.ALLOWED_HOSTS):
        found.append(
            Error(
                "The service answers to any name.",
                hint="Set YARDPROOF_HOSTS to its own names, separated by commas.",
                id="yardproof.E003",
            )
        )
    if settings.SERVICE and not settings.PROXIES:
        found.append(
            Warning(
                "Everybody seems to come from the proxy's address, and shares its attempts.",
                hint="Set YARDPROOF_PROXIES to how many proxies of yours stand in front.",
                id="yardproof.W002",
            )
        )
    return found


def _keys() -> Iterator[str]:
    try:
        yield settings.SECRET_KEY
    except ImproperlyConfigured:  # Django's own word for an empty one
        yield ""
    yield from map(str, settings.SECRET_KEY_FALLBACKS)


def _fault(key: str) -> str:
    """What is wrong with a key; empty where nothing is."""
    if not key.strip():
        return "empty"
    if len(key) < SHORTEST:
        return f"shorter than {SHORTEST} characters"
    repeats = (key + key).find(key, 1) < len(key)
    if repeats or len(set(key)) < FEWEST:
        return "a repetition"
    return ""
