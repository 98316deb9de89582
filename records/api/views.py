"""What the API tells of a plant, and the catalogue of methods: gate, call, render."""

from datetime import timedelta

from django.http import Http404
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import api_view, authentication_classes, permission_classes
from rest_framework.request import Request
from rest_framework.response import Response

from chemistry import methods
from records import clock
from records.actors import Actor
from records.api.gate import at_plant, by_token
from records.api.schema import refusals
from records.api.shapes.method import MethodOut
from records.api.shapes.plant import BoilerOut, DueOut, PlantOut, PointOut, ShelfOut
from records.api.shapes.program import ProgramOut
from records.permissions import Deed
from records.selectors.instruments import shelf_of
from records.selectors.programs import programs_in_force
from records.selectors.rounds import Due, StateHistory, boilers_of, points_of, slots_for_round
from records.services.slot_answers import EARLY
from records.services.slots import slots_expand
from records.shifts import local, shift_at

# As the round shows it: what the last hours before the shift still owe, and what comes next.
BEFORE_SHIFT = timedelta(hours=4)
AHEAD = timedelta(hours=12)


@extend_schema(responses={200: PlantOut(many=True), **refusals(401, 403)})
@api_view(["GET"])
@by_token(Deed.SEE)
def plants(request: Request, actor: Actor) -> Response:
    """The plants that the token opens: one, the token's own."""
    context = {"actor": actor, "may_send": actor.may(Deed.TEST)}
    return Response(PlantOut([actor.plant], many=True, context=context).data)


@extend_schema(responses={200: BoilerOut(many=True), **refusals(401, 403, 404)})
@api_view(["GET"])
@at_plant(Deed.SEE)
def boilers(request: Request, actor: Actor) -> Response:
    """The plant's boilers, each with its state now."""
    context = {"states": StateHistory(actor.plant), "now": clock.now()}
    return Response(BoilerOut(boilers_of(actor.plant), many=True, context=context).data)


@extend_schema(responses={200: PointOut(many=True), **refusals(401, 403, 404)})
@api_view(["GET"])
@at_plant(Deed.SEE)
def points(request: Request, actor: Actor) -> Response:
    """Where the plant draws its samples, in bench order."""
    return Response(PointOut(points_of(actor.plant), many=True).data)


@extend_schema(responses={200: ShelfOut, **refusals(401, 403, 404)})
@api_view(["GET"])
@at_plant(Deed.SEE)
def shelf(request: Request, actor: Actor) -> Response:
    """The instruments and lots that the plant tests with, and how each stands today."""
    found = shelf_of(actor.plant)
    rows = {
        "instruments": [each for kind in found.instruments.values() for each in kind],
        "lots": [each for kind in found.lots.values() for each in kind],
    }
    context = {"today": local(actor.plant, clock.now()).date()}
    return Response(ShelfOut(rows, context=context).data)


@extend_schema(responses={200: DueOut, **refusals(401, 403, 404)})
@api_view(["GET"])
@at_plant(Deed.SEE)
def due(request: Request, actor: Actor) -> Response:
    """What is owed now, was missed in this shift, or comes within twelve hours."""
    plant, now = actor.plant, clock.now()
    slots_expand(plant)
    shift = shift_at(plant, now)
    stands = slots_for_round(
        plant, now=now, early=now + EARLY, since=shift.starts_at - BEFORE_SHIFT, until=now + AHEAD
    )
    owed = [stand for stand in stands if stand.due is not Due.DONE]
    told = {"now": now, "shift": shift.name, "shift_date": shift.day, "tests": owed}
    return Response(DueOut(told).data)


@extend_schema(responses={200: ProgramOut(many=True), **refusals(401, 403, 404)})
@api_view(["GET"])
@at_plant(Deed.SEE)
def programs(request: Request, actor: Actor) -> Response:
    """The plant's programs with the limits and schedules in force now."""
    return Response(ProgramOut(programs_in_force(actor.plant, clock.now()), many=True).data)


@extend_schema(responses={200: MethodOut(many=True)}, auth=[])
@api_view(["GET"])
@authentication_classes([])
@permission_classes([])
def catalogue(request: Request) -> Response:
    """Every bench test and check: its modes, fields, units, ranges, steps and source."""
    return Response(MethodOut(list(methods.METHODS.values()), many=True).data)


@extend_schema(responses={200: MethodOut, **refusals(404)}, auth=[])
@api_view(["GET"])
@authentication_classes([])
@permission_classes([])
def method(request: Request, key: str, version: str) -> Response:
    """One version of a bench test or check."""
    if (key, version) not in methods.METHODS:
        raise Http404
    return Response(MethodOut(methods.get(key, version)).data)


@extend_schema(exclude=True)
@api_view(["GET", "POST", "PUT", "PATCH", "DELETE"])
@authentication_classes([])
@permission_classes([])
def nothing_here(request: Request, rest: str = "") -> Response:
    """Say in the API's own manner that an address does not exist."""
    raise Http404
