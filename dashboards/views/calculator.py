"""The calculator: the engine's answers to whoever is signed in, without a record."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from chemistry import calculations
from dashboards.build.calculator import calculation_screen, calculator_screen, liked_units
from dashboards.gate import signed_in

LIKED = "calculator units"


@require_GET
@signed_in
def questions(request: HttpRequest) -> HttpResponse:
    return render(request, "dashboards/calculator.html", {"screen": calculator_screen()})


@require_GET
@signed_in
def question(request: HttpRequest, key: str) -> HttpResponse:
    """Answer what was typed into the address; htmx asks for the answers alone."""
    calculation = calculations.CALCULATIONS.get(key)
    if calculation is None:
        raise Http404
    sent = request.GET.dict()
    liked = request.session.get(LIKED, {})
    likes = liked_units(calculation, sent, liked)
    if likes != liked:
        request.session[LIKED] = likes
    screen = calculation_screen(calculation, sent, likes)
    page = "parts/calculation_reply" if request.headers.get("HX-Request") else "calculation"
    return render(request, f"dashboards/{page}.html", {"screen": screen})
