"""The handbook: Markdown of our own, by role."""

from pathlib import Path

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop
from django.views.decorators.http import require_GET

from dashboards.build.handbook import as_html
from dashboards.screens.entry import HelpLink, HelpScreen

_FOLDER = Path(__file__).resolve().parent.parent / "help"
PAGES = {
    "tester": gettext_noop("The tester's round"),
    "supervisor": gettext_noop("The supervisor's desk"),
    "chemist": gettext_noop("The chemist's program"),
    "start": gettext_noop("Setting a plant up"),
    "api": gettext_noop("For other programs"),
    "administrator": gettext_noop("Keeping it safe"),
}


@require_GET
def page(request: HttpRequest, slug: str = "tester") -> HttpResponse:
    if slug not in PAGES:
        raise Http404
    text = (_FOLDER / f"{slug}.md").read_text(encoding="utf-8")
    screen = HelpScreen(
        title=_(PAGES[slug]),
        body=mark_safe(as_html(text)),
        pages=tuple(
            HelpLink(slug=key, title=_(title), current=key == slug) for key, title in PAGES.items()
        ),
    )
    return render(request, "dashboards/help.html", {"screen": screen})
