"""Wiring of the service: settings, addresses, servers, workers. Nobody imports this package."""

from prep.project.celery_app import app as celery_app

__all__ = ["celery_app"]
