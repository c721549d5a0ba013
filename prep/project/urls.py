"""Addresses of the service."""

from django.urls import include, path

urlpatterns = [
    path("api/v1/", include("api.urls")),
    path("", include("prep.pages.urls")),
]

handler404 = "prep.pages.views.sign_in.not_found"
handler500 = "prep.pages.views.sign_in.failed"
