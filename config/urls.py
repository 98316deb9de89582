"""All addresses of the site: the API's, and the dashboards' own."""

from django.urls import include, path

urlpatterns = [
    path("api/v1/", include("records.api.urls")),
    path("", include("dashboards.urls")),
]

handler403 = "dashboards.views.errors.forbidden"
handler404 = "dashboards.views.errors.not_found"
handler500 = "dashboards.views.errors.server_error"
