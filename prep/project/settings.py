"""Settings of the service."""

SECRET_KEY = "placeholder until settings are written"
INSTALLED_APPS: list[str] = []
DATABASES = {"default": {"ENGINE": "django.db.backends.sqlite3", "NAME": ":memory:"}}
USE_TZ = True
