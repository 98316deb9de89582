"""Reads on API tokens: which there are, and who stands behind what came in by them."""

from collections.abc import Iterable, Sequence
from uuid import UUID

from records.models import ApiToken, Plant, Sample, SentSample


def tokens_at(plant: Plant) -> Sequence[ApiToken]:
    """Return the plant's tokens, those in use first, the newest before."""
    rows = list(ApiToken.objects.filter(plant=plant).select_related("user").order_by("-made_at"))
    return sorted(rows, key=lambda row: row.revoked_at is not None)


def makers_behind(plant: UUID, samples: Iterable[UUID]) -> set[UUID]:
    """Return who made the tokens by which any of the samples was sent.

    They could have sent the readings themselves, so they count as testers. Read by keys.
    """
    sent = SentSample.objects.filter(plant=plant, sample__in=list(samples))
    tokens = set(sent.values_list("token_id", flat=True))
    made = ApiToken.objects.filter(plant=plant, pk__in=tokens)
    return set(made.values_list("made_by_id", flat=True))


def token_behind(sample: Sample) -> ApiToken | None:
    """Return the token by which a sample was sent, or None where a person entered it here."""
    sent = SentSample.objects.filter(plant=sample.plant_id, sample=sample)
    row = sent.select_related("token").first()
    return row.token if row else None
