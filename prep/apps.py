"""Django application of the domain."""

from importlib import import_module

from django.apps import AppConfig


class PrepConfig(AppConfig):
    """The record, its log and its index."""

    name = "prep"
    default_auto_field = "django.db.models.BigAutoField"
    verbose_name = "Preparation"

    def ready(self) -> None:
        """Register what `manage.py check` looks at."""
        import_module("prep.management.file_modes")
        import_module("prep.management.safe_settings")
