"""The health check."""

from django.db import connection
from django.http import HttpRequest, HttpResponse


def healthy(request: HttpRequest) -> HttpResponse:
    """200 where the process and the database answer."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1")
    return HttpResponse("ok", content_type="text/plain")
