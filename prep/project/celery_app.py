"""The Celery application of the service profile: `celery -A prep.project worker`."""

import os

from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "prep.project.settings")

app = Celery("yardproof")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks(["reports.queue"])
