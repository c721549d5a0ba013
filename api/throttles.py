"""Rate limits of commands. Guessing at secrets is limited by `prep.actions.accounts.attempts`."""

from typing import ClassVar

from rest_framework.request import Request
from rest_framework.settings import api_settings
from rest_framework.throttling import BaseThrottle
from rest_framework.views import APIView

from prep.actions.beside_the_log.request_counts import count


class Window(BaseThrottle):
    """Throttle with a fixed window: each name of a request is counted against the scope's limit."""

    scope: ClassVar[str]

    def names(self, request: Request) -> list[str]:
        """The names the request is counted under; it is not counted without one."""
        raise NotImplementedError

    def allow_request(self, request: Request, view: APIView) -> bool:
        """Count the request; False where one of its names is over the limit."""
        most, seconds = limit(self.scope)
        counted = [count(self.scope, name, seconds) for name in self.names(request)]
        self._left = max((one.left for one in counted), default=1)
        return all(one.requests <= most for one in counted)

    def wait(self) -> float:
        """Seconds until the next window."""
        return float(self._left)


class Write(Window):
    """Limit of commands, counted by person."""

    scope: ClassVar[str] = "write"

    def names(self, request: Request) -> list[str]:
        """The person who sends a command."""
        writes = request.method not in {"GET", "HEAD", "OPTIONS"}
        return [f"person:{request.user.pk}"] if writes and request.auth else []


class Check(Write):
    """Limit of documents that are checked or published, which costs more than other commands."""

    scope = "check"


def limit(scope: str) -> tuple[int, int]:
    """The limit of a scope: requests and seconds; `20/60` in the settings is 20 in 60 seconds."""
    most, _, seconds = str(api_settings.DEFAULT_THROTTLE_RATES[scope]).partition("/")
    return int(most), int(seconds)
