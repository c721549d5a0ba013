"""The API's own description."""

from drf_spectacular.renderers import OpenApiJsonRenderer, OpenApiYamlRenderer
from drf_spectacular.views import SpectacularAPIView
from rest_framework.permissions import AllowAny


class SchemaView(SpectacularAPIView):
    """OpenAPI 3.1, as JSON unless YAML is asked for; open to anybody."""

    authentication_classes = ()
    permission_classes = (AllowAny,)
    renderer_classes = [OpenApiJsonRenderer, OpenApiYamlRenderer]
