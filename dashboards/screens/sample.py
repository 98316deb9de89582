"""A finished sample: verdicts, what stops, and for each result out of range the way to put it
right."""

from dataclasses import dataclass

from dashboards.screens.fields import FormView
from dashboards.screens.results import (
    ActionView,
    CheckRow,
    CorrectionView,
    Figure,
    FollowUpView,
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
    """A computed remedy: what to do, its figures, and the water that is then expected."""

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
    """The advice on a confirmed result: cautions first, what it asks for, the plan or why not."""

    form: FormView
    advisory: tuple[str, ...]
    cautions: tuple[str, ...]
    cautions_title: str
    button: str
    plan: RemedyPlanView | None = None
    refusal: RefusalView | None = None


@dataclass(frozen=True, kw_only=True)
class StopFinding:
    """A finding that comes before everything else: what it means, what first, whence the rule."""

    name: str
    means: str
    first: tuple[str, ...]
    source: str = ""


@dataclass(frozen=True, kw_only=True)
class StopView:
    """The stop branch of a sample, with whom to call. `elsewhere`: another sample holds it."""

    findings: tuple[StopFinding, ...]
    cautions: tuple[str, ...]
    call: str = ""
    elsewhere: str = ""
    elsewhere_id: str = ""


@dataclass(frozen=True, kw_only=True)
class ConfirmView:
    """The first step: how a result stands, and the ways on that are open.

    `draw` offers a bench sheet for the fresh draw; `without` the form for a reason to do without.
    `other_id` is the sample that says more.
    """

    text: str
    done: bool
    draw: bool = False
    without: FormView | None = None
    other_id: str = ""


@dataclass(frozen=True, kw_only=True)
class WayView:
    """One result out of range, or one finding, with its four steps.

    `item` is the result itself (None: a finding that no result shows); `advice` is said where no
    remedy can be offered (yet); `action_open` unfolds the form; `ids` keeps the forms' ids apart.
    """

    way_id: str
    result_id: str
    heading: str
    item: SampleResult | None = None
    ids: str = ""
    confirm: ConfirmView | None = None
    remedy: RemedyView | None = None
    advice: str = ""
    actions: tuple[ActionView, ...] = ()
    action_form: FormView | None = None
    action_open: bool = False
    follow_ups: tuple[FollowUpView, ...] = ()


@dataclass(frozen=True, kw_only=True)
class SampleScreen:
    """Everything that the page of one sample shows; a result with a way stands there alone.

    `sent_mark` says by which token another program sent it, `plans` whether one plan for all of the
    water can be asked for.
    """

    plant_id: str
    sample_id: str
    boiler_name: str
    point_name: str
    state_word: str
    drawn_text: str
    tester_name: str
    results: tuple[SampleResult, ...]
    checks: tuple[CheckRow, ...] = ()
    sheet_id: str = ""
    sheet_status_word: str = ""
    boiler_id: str = ""
    late_mark: str = ""
    sent_mark: str = ""
    remark: str = ""
    stop: StopView | None = None
    ways: tuple[WayView, ...] = ()
    plans: bool = False
    actions: tuple[ActionView, ...] = ()
    follow_ups: tuple[FollowUpView, ...] = ()
