"""What is told of a sample, gathered once."""

from typing import Any
from uuid import UUID

from records.access import row_for
from records.actors import Actor
from records.api.shapes.sample import SampleOut
from records.models import Sample
from records.selectors.follow_ups import follow_ups_of
from records.selectors.results import tests_of_sample
from records.selectors.slots import slots_answered_by


def sample_answer(actor: Actor, key: UUID, *, dry_run: bool = False) -> Any:
    """Return a sample as the API shows it."""
    sample = row_for(actor, Sample, key)
    shown = {
        "sample": sample,
        "dry_run": dry_run,
        "tests": tests_of_sample(sample),
        "follow_ups": follow_ups_of(sample),
        "slots_answered": slots_answered_by(sample),
    }
    return SampleOut(shown).data
