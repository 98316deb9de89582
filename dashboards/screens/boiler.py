"""The page of one boiler: what is open, each parameter's forecast, what was done about it."""

from dataclasses import dataclass

from dashboards.screens.results import Figure, FollowUpView, ResultView


@dataclass(frozen=True, kw_only=True)
class LastValue:
    """An earlier value in the plant's unit, and when it was drawn."""

    value: str
    at_text: str


@dataclass(frozen=True, kw_only=True)
class ParameterView:
    """A parameter: its newest result, the values before it, and what it will be.

    `forecast` is a sentence, `warns` where the range is left within the forecast.
    """

    result: ResultView
    at_text: str
    sample_id: str
    forecast: str = ""
    warns: bool = False
    before: tuple[LastValue, ...] = ()


@dataclass(frozen=True, kw_only=True)
class AnswerView:
    """What was done, and whether the water answered to it."""

    what: str
    at_text: str
    verdict: str
    details: str = ""


@dataclass(frozen=True, kw_only=True)
class CauseView:
    """Something that may explain a change: how sure, and where to look first."""

    name: str
    sure: str
    look_at: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class DriftView:
    """What changed against the last two weeks, and what may explain it; `refusal` says why
    nothing is weighed, `test` which cheap test would tell the explanations apart."""

    changed: tuple[str, ...]
    verdict: str = ""
    causes: tuple[CauseView, ...] = ()
    test: str = ""
    refusal: str = ""
    not_weighed: str = ""


@dataclass(frozen=True, kw_only=True)
class BoilerScreen:
    """Everything that a boiler's page shows. `refusal` says why there is no balance, and what to
    record to get one."""

    plant_id: str
    boiler_id: str
    name: str
    about: str
    state_word: str
    state_since: str
    now_text: str
    refusal: str = ""
    parameters: tuple[ParameterView, ...] = ()
    follow_ups: tuple[FollowUpView, ...] = ()
    drift: DriftView | None = None
    answers: tuple[AnswerView, ...] = ()
    figures: tuple[Figure, ...] = ()
    told: tuple[str, ...] = ()
    assumptions: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    program_id: str = ""
    can_draw: bool = False
