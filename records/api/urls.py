"""Addresses of the API. Each has its line in the permission table of its tests."""

from django.urls import URLPattern, path
from drf_spectacular.views import SpectacularAPIView

from records.api import calculations, samples, views

app_name = "api"
_AT = "plants/<uuid:plant>/"

urlpatterns: list[URLPattern] = [
    path("plants/", views.plants, name="plants"),
    path(_AT + "boilers/", views.boilers, name="boilers"),
    path(_AT + "points/", views.points, name="points"),
    path(_AT + "shelf/", views.shelf, name="shelf"),
    path(_AT + "due/", views.due, name="due"),
    path(_AT + "programs/", views.programs, name="programs"),
    path(_AT + "samples/", samples.send, name="samples"),
    path(_AT + "samples/<uuid:sample>/", samples.sample, name="sample"),
    path("methods/", views.catalogue, name="methods"),
    path("methods/<slug:key>/<str:version>/", views.method, name="method"),
    path("calculations/", calculations.catalogue, name="calculations"),
    path("calculations/<slug:key>/", calculations.work, name="calculation"),
    path("schema/", SpectacularAPIView.as_view(), name="schema"),
    path("<path:rest>", views.nothing_here, name="nothing"),
]
