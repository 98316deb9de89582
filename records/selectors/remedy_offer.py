"""Whether a remedy can be asked for after a result, or why there is none."""

from collections import defaultdict
from typing import Any

from chemistry.errors import Refused
from chemistry.remedies import RemedyKind
from records.models import Result
from records.selectors.remedies import case_for, kind_for
from records.selectors.remedy_inputs import RemedyInputs

# What refuses a remedy whatever figures are typed.
ANYWAY = frozenset({"not_steaming", "too_hot_for_sulfite", "not_by_blowdown"})


def refusal_of(result: Result) -> Refused | None:
    """Return why no remedy is worked out from a result, or None where figures may be asked for.

    The figures are not known yet: blanks and zeros stand in for them, and no plan made of these
    is ever kept.
    """
    nothing = RemedyInputs(typed={}, units={}, values=defaultdict(float), choices=defaultdict(str))
    try:
        case = case_for(result, nothing)
    except Refused as refused:
        return refused
    kind = kind_for(result)
    return _refused_anyway(kind, case) if kind else None


def _refused_anyway(kind: RemedyKind, case: Any) -> Refused | None:
    """Return the planner's refusal where no figure could change it."""
    try:
        kind.planner(case)
    except Refused as refused:
        return refused if refused.code in ANYWAY else None
    return None
