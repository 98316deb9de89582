"""A finished sample: verdicts, the remedy, what was done, what is owed."""

from dataclasses import dataclass

from dashboards.screens.fields import FormView
from dashboards.screens.results import (
    ActionView,
    CorrectionView,
    Figure,
    FollowUpView,
    OutcomeView,
    RawReading,
    ResultView,
)


@dataclass(frozen=True, kw_only=True)
class SampleResult:
    """One result of the sample with everything that it was worked from."""

    measurement_id: str
    result: ResultView
    method_name: str
    mode_label: str
    raw: tuple[RawReading, ...]
    instruments: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    corrections: tuple[CorrectionView, ...] = ()
    can_correct: bool = False
    correct_word: str = ""


@dataclass(frozen=True, kw_only=True)
class RemedyPlanView:
    """A computed blowdown: which valve, how much, how long, then hold."""

    headline: str
    steps: tuple[str, ...]
    figures: tuple[Figure, ...]
    predicted: ResultView
    retest_text: str
    assumptions: tuple[str, ...] = ()
    source: str = ""


@dataclass(frozen=True, kw_only=True)
class RefusalView:
    """Why no figure is given, and what is missing for one."""

    reason: str
    missing: tuple[str, ...] = ()
    call: str = ""


@dataclass(frozen=True, kw_only=True)
class RemedyView:
    """The remedy panel of an out-of-range sample; `confirm_first` asks for a fresh draw."""

    form: FormView
    advisory: tuple[str, ...]
    cautions: tuple[str, ...]
    confirm_first: str = ""
    plan: RemedyPlanView | None = None
    refusal: RefusalView | None = None


@dataclass(frozen=True, kw_only=True)
class SampleScreen:
    """Everything that the page of one sample shows."""

    plant_id: str
    sample_id: str
    boiler_name: str
    point_name: str
    state_word: str
    drawn_text: str
    tester_name: str
    results: tuple[SampleResult, ...]
    outcomes: tuple[OutcomeView, ...] = ()
    sheet_id: str = ""
    sheet_status_word: str = ""
    late_mark: str = ""
    remark: str = ""
    remedy: RemedyView | None = None
    action_form: FormView | None = None
    actions: tuple[ActionView, ...] = ()
    follow_ups: tuple[FollowUpView, ...] = ()
