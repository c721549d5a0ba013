"""Django application of the domain."""

from django.apps import AppConfig


class PrepConfig(AppConfig):
    """The record, its log and its index."""

    name = "prep"
    default_auto_field = "django.db.models.BigAutoField"
    verbose_name = "Preparation"
