"""Django application of the documents."""

from importlib import import_module

from django.apps import AppConfig


class ReportsConfig(AppConfig):
    """Certificates, bundles and the queue that makes them."""

    name = "reports"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Wire the documents up; before this moment Django lets no model be imported."""
        import_module("reports.wiring").wire()
