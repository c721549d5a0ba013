"""The WSGI application both web servers run."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "prep.project.settings")

application = get_wsgi_application()
