"""The page of a plan for a whole boiler water: what it asks for, the plan, what was done of it."""

from dataclasses import dataclass

from dashboards.screens.fields import FormView
from dashboards.screens.results import Figure, ResultView
from dashboards.screens.sample import RefusalView


@dataclass(frozen=True, kw_only=True)
class DoseView:
    """One chemical of a plan: how much, of what, and where it enters."""

    amount: str
    product: str
    entry: str
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class ExpectedView:
    """A parameter before the plan and as it is expected after it, beside its range."""

    name: str
    before: str
    after: ResultView


@dataclass(frozen=True, kw_only=True)
class WholePlanView:
    """A plan as it is carried out. Where `clash` names limits it is only the nearest one."""

    headline: str
    doses: tuple[DoseView, ...]
    steps: tuple[str, ...]
    expected: tuple[ExpectedView, ...]
    figures: tuple[Figure, ...]
    retest_text: str
    clash: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()
    assumptions: tuple[str, ...] = ()
    source: str = ""


@dataclass(frozen=True, kw_only=True)
class WaterPlanScreen:
    """Everything that the page of a plan shows. `blocked` says why no figures are asked for."""

    plant_id: str
    sample_id: str
    place: str
    drawn_text: str
    out: tuple[str, ...]
    blocked: str = ""
    call: str = ""
    form: FormView | None = None
    cautions: tuple[str, ...] = ()
    advisory: str = ""
    plan: WholePlanView | None = None
    refusal: RefusalView | None = None
    done: FormView | None = None
