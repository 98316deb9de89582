"""The engine's questions: which there are, and the answer to one. Nothing is stored."""

from collections.abc import Mapping
from typing import Any

from django.http import Http404
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import api_view, authentication_classes, permission_classes
from rest_framework.request import Request
from rest_framework.response import Response

from chemistry import calculations
from chemistry.calculations.base import Calculation, Found
from chemistry.errors import ChemistryError, EntryError
from records.actors import Actor
from records.api.figures import unit_labels
from records.api.gate import by_token
from records.api.problems import Fault, Unusable
from records.api.schema import refusals
from records.api.shapes.calculation import AskedOut, CalculationIn, FoundOut
from records.permissions import Deed
from records.words import sentence

NO_SUCH_FIELD = gettext_noop("This is not known here. Known are: %(known)s.")


@extend_schema(responses={200: AskedOut(many=True)}, auth=[])
@api_view(["GET"])
@authentication_classes([])
@permission_classes([])
def catalogue(request: Request) -> Response:
    """Every question that the engine answers: its fields, units, ranges and sources."""
    return Response(AskedOut(list(calculations.CALCULATIONS.values()), many=True).data)


@extend_schema(
    request=CalculationIn,
    responses={200: FoundOut, **refusals(400, 401, 403, 404, 413, 415, 422)},
)
@api_view(["POST"])
@by_token(Deed.SEE)
def work(request: Request, actor: Actor, key: str) -> Response:
    """Work one question out. Nothing is stored; what can't be answered is refused in words."""
    if key not in calculations.CALCULATIONS:
        raise Http404
    calculation = calculations.get(key)
    sent = CalculationIn(data=request.data)
    sent.is_valid(raise_exception=True)
    found = _found(calculation, sent.validated_data["given"])
    wanted = sent.validated_data["units"]
    _require_units(found, wanted)
    context = {"units": wanted, "calculation": calculation}
    return Response(FoundOut(found, context=context).data)


def _found(calculation: Calculation, given: Mapping[str, Mapping[str, str]]) -> Found:
    """Return what comes out. Errors: Unusable with every place at fault."""
    known = [each.key for each in calculation.fields]
    told = _(NO_SUCH_FIELD) % {"known": ", ".join(known)}
    faults = [_fault(key, "unknown", told) for key in given if key not in known]
    typed = {key: reading["value"] for key, reading in given.items()}
    entry = calculation.read(typed, {key: each["unit"] for key, each in given.items()})
    faults += [_fault(key, error.code, sentence(error)) for key, error in entry.errors.items()]
    if faults:
        raise Unusable(faults)
    try:
        return calculation.found(entry)
    except EntryError as error:
        raise Unusable([_fault(error.field, error.code, sentence(error))]) from error
    except ChemistryError as error:
        fault = Fault(place=("given",), code=error.code, detail=sentence(error))
        raise Unusable([fault]) from error


def _require_units(found: Found, wanted: Mapping[str, Any]) -> None:
    """Refuse a unit that an answer can't be read in."""
    offered = {each.key: each.units or (each.unit,) for each in found.answers}
    faults = []
    for key, unit in wanted.items():
        if unit not in offered.get(key, ()):
            known = unit_labels(offered.get(key, ())) or ", ".join(offered)
            told = _(NO_SUCH_FIELD) % {"known": known}
            faults.append(Fault(place=("units", key[:60]), code="unknown", detail=told))
    if faults:
        raise Unusable(faults)


def _fault(key: str, code: str, told: str) -> Fault:
    return Fault(place=("given", key[:60]), code=code, detail=told)
