"""Send a sample, or look at one: the same services as the bench sheet."""

from uuid import UUID

from django.urls import reverse
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import api_view
from rest_framework.request import Request
from rest_framework.response import Response

from records.actors import Actor
from records.api.answers import sample_answer
from records.api.gate import at_plant
from records.api.incoming import SampleIn, entry_of
from records.api.refusals import refused
from records.api.schema import refusals
from records.api.shapes.sample import SampleOut
from records.permissions import Deed
from records.services.rehearsal import sample_rehearse
from records.services.samples import SampleEntry, TestsRefused, samples_register


@extend_schema(
    request=SampleIn,
    responses={
        200: SampleOut, 201: SampleOut, **refusals(400, 401, 403, 404, 409, 413, 415, 422),
    },
)  # fmt: skip
@api_view(["POST"])
@at_plant(Deed.TEST)
def send(request: Request, actor: Actor) -> Response:
    """Send a sample with its raw readings: worked, judged and stored, or told why not.

    The same key and body again store nothing more and answer alike; another body under the key is
    a conflict. With `dry_run` it is worked and judged just so, and nothing is stored.
    """
    sent = SampleIn(data=request.data)
    sent.is_valid(raise_exception=True)
    entry = entry_of(actor, sent.validated_data)
    try:
        return _written(actor, entry, dry_run=sent.validated_data["dry_run"])
    except TestsRefused as error:
        raise refused(entry) from error


def _written(actor: Actor, entry: SampleEntry, *, dry_run: bool) -> Response:
    if dry_run:
        shown = sample_rehearse(
            actor=actor, entry=entry, show=lambda key: sample_answer(actor, key, dry_run=True)
        )
        return Response(shown, status=200)
    key = samples_register(actor=actor, entries=[entry])[0]
    where = reverse("api:sample", args=[actor.plant.pk, key])
    return Response(sample_answer(actor, key), status=201, headers={"Location": where})


@extend_schema(responses={200: SampleOut, **refusals(401, 403, 404)})
@api_view(["GET"])
@at_plant(Deed.SEE)
def sample(request: Request, actor: Actor, sample: UUID) -> Response:
    """A sample as it counts now, with what follows."""
    return Response(sample_answer(actor, sample))
