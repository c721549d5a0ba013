"""Addresses below the API's own at which there is nothing."""

from typing import NoReturn

from drf_spectacular.utils import extend_schema
from rest_framework.exceptions import NotFound
from rest_framework.permissions import AllowAny
from rest_framework.request import Request
from rest_framework.views import APIView

from api.media_types import Json


@extend_schema(exclude=True)
class ElsewhereView(APIView):
    """A problem document, where Django would answer with a page."""

    authentication_classes = ()
    permission_classes = (AllowAny,)
    renderer_classes = (Json,)

    def initial(self, request: Request, *args: object, **kwargs: object) -> NoReturn:
        """Whatever is asked, and however."""
        raise NotFound("There is nothing at this address. The schema at /api/v1/schema lists all.")
