"""Django application of the REST API."""

from django.apps import AppConfig


class ApiConfig(AppConfig):
    """The REST API; it has no tables of its own."""

    name = "api"
