"""Settings of both profiles.

embedded (the default): SQLite, jobs in the serving process, files in a local folder; no server.
service: PostgreSQL, Celery over Redis, gunicorn behind a proxy. One code, chosen by
YARDPROOF_PROFILE.
"""

import os
from datetime import timedelta
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured

from prep.project import env
from prep.record.inputs.sizes import OF_A_FORM

env.close_files()
BASE_DIR = Path(__file__).resolve().parents[2]
PROFILE = env.one_of("YARDPROOF_PROFILE", ("embedded", "service"))
SERVICE = PROFILE == "service"
DATA = env.folder("YARDPROOF_DATA", BASE_DIR / ".yardproof")


def _secret_key() -> str:
    """Given in the service profile; made once and kept beside the data in the embedded one."""
    given = env.text("YARDPROOF_SECRET_KEY", "")
    if given:
        return given
    if SERVICE:
        raise ImproperlyConfigured("Set YARDPROOF_SECRET_KEY to a long random text.")
    return env.kept_secret(DATA / "secret_key")


SECRET_KEY = _secret_key()
DEBUG = env.yes("YARDPROOF_DEBUG", default=False)
# Health checks ask on the machine itself, by this name, whatever the service is called outside.
ALLOWED_HOSTS = [*env.words("YARDPROOF_HOSTS", "127.0.0.1,[::1]"), "localhost"]
# The address printed in QR codes and links; it must reach this service from a phone.
ADDRESS = env.text("YARDPROOF_ADDRESS", "http://127.0.0.1:8000").rstrip("/")
CSRF_TRUSTED_ORIGINS = [ADDRESS]
# How many proxies in front are ours: each names whom it heard, and no one else is believed.
PROXIES = env.count("YARDPROOF_PROXIES", 0)

INSTALLED_APPS = [
    "prep.apps.PrepConfig",
    "reports.apps.ReportsConfig",
    "api.apps.ApiConfig",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "rest_framework",
    "drf_spectacular",
]
# Without a handler of ours an unforeseen error would be written down nowhere.
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "filters": {"without-secrets": {"()": "prep.project.error_log.WithoutSecrets"}},
    "handlers": {
        "errors": {
            "class": "logging.StreamHandler",
            "level": "ERROR",
            "filters": ["without-secrets"],
        }
    },
    "loggers": {"django.request": {"handlers": ["errors"]}},
}
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "prep.pages.security_headers.SecurityHeaders",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "prep.project.request_bounds.RequestBounds",  # before anything reads a form
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "prep.pages.device_cookie.DeviceContact",
    "prep.pages.reader_language.ReaderLanguage",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
]
DATA_UPLOAD_MAX_MEMORY_SIZE = OF_A_FORM
DATA_UPLOAD_MAX_NUMBER_FIELDS = 1000
DATA_UPLOAD_MAX_NUMBER_FILES = 20
ROOT_URLCONF = "prep.project.urls"
WSGI_APPLICATION = "prep.project.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        # Django's own choice of loaders keeps parsed templates; naming loaders would switch it off.
        "DIRS": [BASE_DIR / "prep" / "pages" / "templates"],
        "APP_DIRS": False,
        "OPTIONS": {
            "builtins": ["django.templatetags.i18n"],
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ],
        },
    }
]

if SERVICE:
    DATABASES = {
        "default": {
            **env.postgres("YARDPROOF_DATABASE"),
            # Nobody waits for ever: for a server that is gone, or for a row that somebody holds.
            "OPTIONS": {
                "connect_timeout": 5,
                "tcp_user_timeout": 30_000,
                "options": "-c lock_timeout=30s",
            },
            "CONN_MAX_AGE": 60,
            "CONN_HEALTH_CHECKS": True,
            "TEST": {"NAME": f"test_yardproof_{os.getpid()}"},
        }
    }
else:
    DATABASES = {
        "default": {
            "ENGINE": "django.db.backends.sqlite3",
            "NAME": DATA / "yardproof.sqlite3",
            "CONN_MAX_AGE": 60,
            "OPTIONS": {
                # A read that turns into a write fails at once under WAL whatever the timeout;
                # taking the write lock at the start of a command is what makes it wait instead.
                "transaction_mode": "IMMEDIATE",
                "timeout": 20,
                # FULL: a sign-off must survive a power cut. RECURSIVE_TRIGGERS: without them, a row
                # that INSERT OR REPLACE puts another in the place of passes the log's guards.
                "init_command": (
                    "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; "
                    "PRAGMA recursive_triggers=ON; PRAGMA journal_size_limit=67108864;"
                ),
            },
            # A file, because threads share one connection to an in-memory database; one a
            # process, so that two test runs in one checkout do not meet.
            "TEST": {"NAME": DATA / f"test-{os.getpid()}.sqlite3"},
        }
    }

AUTH_USER_MODEL = "prep.Person"
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "prep.actions.pin_hasher.PinHasher",
]
_VALIDATION = "django.contrib.auth.password_validation"
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"{_VALIDATION}.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": f"{_VALIDATION}.CommonPasswordValidator"},
    {
        "NAME": f"{_VALIDATION}.UserAttributeSimilarityValidator",
        "OPTIONS": {"user_attributes": ("username", "printed_name", "email")},
    },
]
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "yard"
LOGOUT_REDIRECT_URL = "sign-in"
SESSION_ENGINE = "prep.actions.accounts.session_store"
SESSION_COOKIE_AGE = 12 * 60 * 60  # a working day on the shared tablet

HTTPS = env.yes("YARDPROOF_HTTPS", default=SERVICE)
SECURE_SSL_REDIRECT = HTTPS
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if SERVICE else None
SECURE_HSTS_SECONDS = 31_536_000 if HTTPS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = HTTPS
SECURE_HSTS_PRELOAD = HTTPS
SECURE_REDIRECT_EXEMPT = [r"^alive$", r"^ready$"]
SESSION_COOKIE_SECURE = HTTPS
CSRF_COOKIE_SECURE = HTTPS
X_FRAME_OPTIONS = "DENY"

LANGUAGE_CODE = "en"
TIME_ZONE = "UTC"
USE_TZ = True
USE_I18N = True
LANGUAGES = [("en", "English"), ("es", "Español"), ("fr", "Français")]
LOCALE_PATHS = [BASE_DIR / "prep" / "locale"]
LANGUAGE_COOKIE_AGE = 365 * 24 * 60 * 60  # of a browser in which nobody is signed in
LANGUAGE_COOKIE_HTTPONLY = True
LANGUAGE_COOKIE_SAMESITE = "Lax"
LANGUAGE_COOKIE_SECURE = HTTPS

STATIC_URL = "static/"
STATIC_ROOT = env.folder("YARDPROOF_STATIC", DATA / "static")
STATICFILES_DIRS = [BASE_DIR / "prep" / "pages" / "static"]
MEDIA_ROOT = DATA / "files"
# Django gives files of its storages rights of their own, whatever the umask.
FILE_UPLOAD_PERMISSIONS = 0o600
FILE_UPLOAD_DIRECTORY_PERMISSIONS = 0o700
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage",
        # For anybody: a proxy may serve them.
        "OPTIONS": {"file_permissions_mode": 0o644, "directory_permissions_mode": 0o755},
    },
}
WHITENOISE_USE_FINDERS = True

LOG_NAME = env.text("YARDPROOF_LOG_NAME", "yardproof.example/log")
KEYS = env.folder("YARDPROOF_KEYS", DATA / "keys")

# Mail goes to a folder, to be looked at, unless a mail server is named.
SMTP = env.text("YARDPROOF_SMTP_HOST", "localhost" if SERVICE else "")
EMAIL_BACKEND = f"django.core.mail.backends.{'smtp' if SMTP else 'filebased'}.EmailBackend"
EMAIL_FILE_PATH = DATA / "mail"
EMAIL_HOST = SMTP
EMAIL_PORT = int(env.text("YARDPROOF_SMTP_PORT", "25"))
EMAIL_HOST_USER = env.text("YARDPROOF_SMTP_USER", "")
EMAIL_HOST_PASSWORD = env.text("YARDPROOF_SMTP_PASSWORD", "")
EMAIL_USE_TLS = env.yes("YARDPROOF_SMTP_TLS", default=False)
EMAIL_TIMEOUT = 30
DEFAULT_FROM_EMAIL = env.text("YARDPROOF_MAIL_FROM", "yardproof@localhost")

REDIS = env.text("YARDPROOF_REDIS", "redis://127.0.0.1:6379/0")
CELERY_BROKER_URL = REDIS
# Whoever sends word while the broker is away must not be kept waiting: the sweep finds the work.
CELERY_BROKER_TRANSPORT_OPTIONS = {"max_retries": 0, "socket_connect_timeout": 2}
CELERY_TASK_IGNORE_RESULT = True
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
CELERY_WORKER_LOST_WAIT = 0.1  # seconds a killed process keeps its place; its results are rows
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_BEAT_SCHEDULE_FILENAME = str(DATA / "beat-schedule")
CELERY_BEAT_SCHEDULE = {
    "sweep": {"task": "reports.queue.tasks.sweep", "schedule": timedelta(seconds=30)}
}

REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": ["api.authentication.ByToken"],
    "DEFAULT_PERMISSION_CLASSES": ["rest_framework.permissions.IsAuthenticated"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["rest_framework.parsers.JSONParser"],
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    "EXCEPTION_HANDLER": "api.errors.as_problem",
    "UNAUTHENTICATED_USER": None,
    # Requests in so many seconds.
    "DEFAULT_THROTTLE_RATES": {"write": "1200/60", "check": "60/60"},
}
SPECTACULAR_SETTINGS = {
    "TITLE": "Yardproof",
    "DESCRIPTION": "Pre-delivery records of farm machines that prove themselves.",
    "VERSION": "1",
    "OAS_VERSION": "3.1.0",
    "SERVE_INCLUDE_SCHEMA": False,
    "SCHEMA_PATH_PREFIX": "/api/v1",
    "POSTPROCESSING_HOOKS": [],
}
