"""Wiring of the service: settings, addresses, servers, workers. Nobody imports this package."""

import os

if os.environ.get("YARDPROOF_PROFILE") == "service":
    # The embedded profile has no broker, and spares the memory of the library.
    from prep.project.celery_app import app as celery_app

    __all__ = ["celery_app"]
