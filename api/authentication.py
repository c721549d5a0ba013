"""Who sends a request, by the token in its Authorization header: read once, in one statement."""

from typing import Final

from rest_framework.authentication import BaseAuthentication
from rest_framework.exceptions import AuthenticationFailed
from rest_framework.request import Request

from api.origin import KEY
from prep.actions.accounts.tokens import Dead, bearer
from prep.models import Person

SCHEME: Final = "Token"


class ByToken(BaseAuthentication):
    """`Authorization: Token …`, one of them and nothing else; an address never holds a token."""

    def authenticate(self, request: Request) -> tuple[Person, str] | None:
        """The bearer, narrowed to what the token is for, and its id; None where none was sent."""
        header: str | None = request.META.get("HTTP_AUTHORIZATION")
        if header is None:
            return None
        words = header.split(" ")
        if not header.isascii() or len(words) != 2 or words[0].lower() != SCHEME.lower():
            raise AuthenticationFailed(code="token-header")
        found = bearer(words[1], request.headers.get(KEY, ""))
        if isinstance(found, Dead):
            raise AuthenticationFailed(code=found.value)
        return found, found.access.token

    def authenticate_header(self, request: Request) -> str:
        """The scheme, for whoever sent none."""
        return SCHEME
