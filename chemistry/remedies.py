"""Which remedy answers which result: one table, so that service and page need no case of their own.

What is not here has no computed remedy; the stop branch (chemistry/stop_branch.py) comes before.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from chemistry.dosing_plan import plan_dose
from chemistry.dosing_stop import plan_feed_stop
from chemistry.remedy import STEERS_BY, plan_blowdown
from chemistry.verdict import Side


@dataclass(frozen=True)
class RemedyKind:
    """A kind of remedy: what it asks a person for, and the function from its case to its plan.

    `chemicals` are the keys of `chemistry.dosing.CHEMICALS` that may be meant.
    """

    key: str
    asks: tuple[str, ...]
    planner: Callable[[Any], Any]
    chemicals: tuple[str, ...] = ()


_BALANCE = ("steam_flow", "feed_conductivity", "boiler_conductivity")
_DOSE = ("chemical", "strength", *_BALANCE, "next_test")

BLOWDOWN = RemedyKind(
    "blowdown", ("steam_flow", "feed_conductivity", "makeup_temperature"), plan_blowdown
)
PHOSPHATE = RemedyKind(
    "dose_phosphate",
    ("program", *_DOSE),
    plan_dose,
    ("tsp_crystals", "tsp_anhydrous", "dsp_anhydrous"),
)
SULFITE = RemedyKind("dose_sulfite", (*_DOSE, "feed_oxygen"), plan_dose, ("sodium_sulfite",))
ALKALI = RemedyKind("dose_alkali", ("program", *_DOSE), plan_dose, ("caustic_soda",))
FEED_STOP = RemedyKind("feed_stop", _BALANCE, plan_feed_stop)
# No figure can be worked out there, so none is asked for: the planner says why.
FEED_DOWN = RemedyKind("feed_down", (), plan_feed_stop)

REMEDIES: dict[tuple[str, Side], RemedyKind] = {
    (STEERS_BY, Side.HIGH): BLOWDOWN,
    ("phosphate", Side.LOW): PHOSPHATE,
    ("sulfite", Side.LOW): SULFITE,
    ("p_alkalinity", Side.LOW): ALKALI,
    ("hydroxide_alkalinity", Side.LOW): ALKALI,
    ("phosphate", Side.HIGH): FEED_STOP,
    ("sulfite", Side.HIGH): FEED_STOP,
    ("p_alkalinity", Side.HIGH): FEED_DOWN,
    ("hydroxide_alkalinity", Side.HIGH): FEED_DOWN,
    ("m_alkalinity", Side.HIGH): FEED_DOWN,
}


def remedy_for(analyte: str, side: Side) -> RemedyKind | None:
    """Return the kind of remedy for a result, or None where none is worked out.

    >>> remedy_for("phosphate", Side.LOW).key
    'dose_phosphate'
    """
    return REMEDIES.get((analyte, side))
