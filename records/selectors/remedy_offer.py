"""Whether a remedy can be asked for after a result, or why there is none."""

from collections import defaultdict

from chemistry.errors import Refused
from records.models import Result
from records.selectors.remedies import case_for
from records.selectors.remedy_inputs import RemedyInputs


def refusal_of(result: Result) -> Refused | None:
    """Return why no remedy is worked out from a result, or None where figures may be asked for.

    The figures are not known yet: zeros stand in for them, and no remedy is made of these.
    """
    nothing = RemedyInputs(typed={}, units={}, values=defaultdict(float), choices=defaultdict(str))
    try:
        case_for(result, nothing)
    except Refused as refused:
        return refused
    return None
