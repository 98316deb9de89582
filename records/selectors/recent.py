"""The last results of a point: what a new one is held beside on entry."""

from datetime import datetime

from chemistry.plausibility import MOST_RECENT
from records.models import Meaning, Result, SamplePoint


def recent_values(
    point: SamplePoint, analyte: str, basis: str, state: str, before: datetime
) -> list[float]:
    """Return the last results of an analyte at a point, the newest last.

    Same basis and boiler state; those in doubt, corrected, bounded or waiting for a signature are
    left out.
    """
    found = (
        Result.objects.filter(
            plant=point.plant_id,
            analyte=analyte,
            basis=basis,
            qualifier="",
            measurement__sample__sample_point=point,
            measurement__sample__boiler_state=state,
            measurement__sample__drawn_at__lt=before,
            measurement__doubts__isnull=True,
            measurement__corrections__isnull=True,
        )
        .exclude(measurement__amendments__signatures__meaning=Meaning.AMENDMENT_REFUSED)
        .order_by("-measurement__sample__drawn_at")
        .values_list("value", flat=True)[:MOST_RECENT]
    )
    return [float(value) for value in reversed(found)]
