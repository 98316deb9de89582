"""What only a demo has: its accounts on the sign-in page, and a bench terminal for any browser."""

from typing import Any

from django.conf import settings
from django.contrib.auth import logout
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from dashboards.middleware import COOKIE
from records.demo import company, plants, token_file


def accounts() -> dict[str, Any]:
    """Return the demo's plants and people for the sign-in page; nothing where real records are
    kept."""
    if not settings.DEMO:
        return {}
    return {**company(), "plants": [{"key": key, **told} for key, told in plants().items()]}


@require_POST
def be_terminal(request: HttpRequest) -> HttpResponse:
    """Make this browser the bench terminal of one of the demo's plants, or a desk again."""
    keys = list(plants())
    key = request.POST.get("plant") or keys[0]
    if not settings.DEMO or key not in keys or not token_file(key).exists():
        raise Http404
    logout(request)
    if request.POST.get("leave"):
        response = redirect("login")
        response.delete_cookie(COOKIE)
        return response
    response = redirect("terminal")
    response.set_cookie(COOKIE, token_file(key).read_text(), httponly=True, samesite="Lax")
    return response
