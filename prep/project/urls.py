"""URLs of the service."""

from django.urls import include, path

urlpatterns = [
    path("api/v1/", include("api.urls")),
    path("", include("prep.pages.urls")),
]

handler400 = "prep.pages.views.errors.bad_request"
handler404 = "prep.pages.views.errors.not_found"
handler500 = "prep.pages.views.errors.failed"
