"""Who sends a request, by their token: read once, in one statement."""

from typing import Any

from django.utils import timezone
from knox.auth import TokenAuthentication
from knox.models import AuthToken
from rest_framework.exceptions import AuthenticationFailed
from rest_framework.request import Request


class OwnToken(TokenAuthentication):  # type: ignore[misc]  # the library is untyped
    """The library's authentication, which would read every token of the person at each request."""

    def authenticate(self, request: Request) -> Any:
        """Whoever a request's token is of; None without a token."""
        try:
            return super().authenticate(request)
        except UnicodeDecodeError:  # the library takes the header's bytes for UTF-8
            raise AuthenticationFailed from None

    def _cleanup_token(self, auth_token: AuthToken) -> bool:
        """Whether this token has expired. It stays where it is: a read writes nothing."""
        return auth_token.expiry is not None and auth_token.expiry < timezone.now()
