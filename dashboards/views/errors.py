"""Pages for what can't be shown; what may not be seen looks like what does not exist."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    return render(request, "404.html", status=404)


def forbidden(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    return render(request, "403.html", status=403)


def server_error(request: HttpRequest) -> HttpResponse:
    return render(request, "500.html", status=500)


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    """Say that the form is too old; the browser's back button still has what was typed."""
    return render(request, "403.html", {"form_too_old": True}, status=403)
