"""Endpoint of the API's OpenAPI schema."""

from drf_spectacular.renderers import OpenApiJsonRenderer, OpenApiYamlRenderer
from drf_spectacular.views import SpectacularAPIView
from rest_framework.permissions import AllowAny


class SchemaView(SpectacularAPIView):
    """OpenAPI 3.1 schema, as JSON unless YAML is requested; public."""

    authentication_classes = ()
    permission_classes = (AllowAny,)
    renderer_classes = [OpenApiJsonRenderer, OpenApiYamlRenderer]
