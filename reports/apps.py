"""Django application of the documents."""

from django.apps import AppConfig


class ReportsConfig(AppConfig):
    """Certificates, bundles and the queue that makes them."""

    name = "reports"
    default_auto_field = "django.db.models.BigAutoField"
