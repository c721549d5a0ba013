"""Signing in and out. The tablet is shared, so changing the person is one button away."""

from django.contrib.auth.views import LoginView, LogoutView
from django.db import connection
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


class SignIn(LoginView):
    """Name and password."""

    template_name = "sign_in.html"
    redirect_authenticated_user = True


class SignOut(LogoutView):
    """Sign out; the next person signs in on the same page."""


def healthy(request: HttpRequest) -> HttpResponse:
    """What the health checks ask: the process answers and the database does."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1")
    return HttpResponse("ok", content_type="text/plain")


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Nothing here, or nothing this person may see: the two are not told apart."""
    return render(request, "404.html", status=404)


def failed(request: HttpRequest) -> HttpResponse:
    """Something went wrong in the service itself."""
    return render(request, "500.html", status=500)
