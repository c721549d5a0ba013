"""The answer to addresses below /api/v1/ that do not exist."""

from typing import NoReturn

from drf_spectacular.utils import extend_schema
from rest_framework.exceptions import NotFound
from rest_framework.permissions import AllowAny
from rest_framework.request import Request
from rest_framework.views import APIView

from api.media_types import Json, OneAnswer


@extend_schema(exclude=True)
class NotFoundView(APIView):
    """A 404 problem document, in place of Django's HTML page."""

    authentication_classes = ()
    permission_classes = (AllowAny,)
    renderer_classes = (Json,)
    content_negotiation_class = OneAnswer

    def initial(self, request: Request, *args: object, **kwargs: object) -> NoReturn:
        """Refuse every method before anything else is checked."""
        raise NotFound
