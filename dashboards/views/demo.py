"""What only a demo has: its accounts on the sign-in page, and a bench terminal for any browser."""

import tomllib
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.auth import logout
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from dashboards.middleware import COOKIE

_TOKEN = "demo-terminal-token"


def accounts() -> dict[str, Any]:
    """Return the demo's people for the sign-in page; nothing where real records are kept."""
    if not settings.DEMO:
        return {}
    told: dict[str, Any] = tomllib.loads(
        (settings.FIXTURES / "demo" / "plant.toml").read_text("utf-8")
    )
    return told


@require_POST
def be_terminal(request: HttpRequest) -> HttpResponse:
    """Make this browser the demo's bench terminal, or a desk again."""
    path = Path(settings.DATA_DIR) / _TOKEN
    if not settings.DEMO or not path.exists():
        raise Http404
    logout(request)
    if request.POST.get("leave"):
        response = redirect("login")
        response.delete_cookie(COOKIE)
        return response
    response = redirect("terminal")
    response.set_cookie(COOKIE, path.read_text(), httponly=True, samesite="Lax")
    return response
