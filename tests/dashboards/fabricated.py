"""Invented screen objects: what templates are rendered from in tests and pictures.

No plant, person or figure here is real; figures are chosen to show every state of a screen.
"""

from dashboards.screens.chrome import Chrome, NavItem
from dashboards.screens.fields import FieldView, FormView
from dashboards.screens.results import (
    ActionView,
    CorrectionView,
    FollowUpView,
    RawReading,
    ResultView,
    Strip,
    VerdictView,
)


def uid(n: int) -> str:
    """Return an id of the right form; nothing stands behind it."""
    return f"01900000-0000-7000-8000-{n:012d}"


PLANT = uid(1)

IN_RANGE = VerdictView(side="in_range", word="In range")
NEAR = VerdictView(side="in_range", word="In range", near_limit=True)
HIGH = VerdictView(side="high", word="High")
LOW = VerdictView(side="low", word="Low")
DOUBT = VerdictView(
    side="in_range", word="In range", in_doubt=True, reason="Meter M-2 was past its check."
)
NOT_JUDGED = VerdictView(
    side="not_judged", word="Not judged", reason="No limit is known at this pressure."
)


def result(
    value: float, verdict: VerdictView = IN_RANGE, *, expanded: float = 30, high: float = 1300
) -> ResultView:
    """Return a conductivity result held against a maximum."""
    judged = verdict.side != "not_judged"
    text, spread = f"{value:g}", f"{expanded:g}"
    return ResultView(
        name="Conductivity",
        value_text=text,
        expanded_text=spread,
        unit="µS/cm",
        basis_words=("at 25 °C", "not neutralized"),
        limit_text="Allowed up to 1300 µS/cm, target 1100" if judged else "",
        verdict=verdict,
        strip=Strip(
            value=value,
            expanded=expanded,
            high=high if judged else None,
            target=1100 if judged else None,
            value_text=f"{text} ± {spread} µS/cm",
            high_text="1300" if judged else "",
            target_text="1100" if judged else "",
            verdict=verdict,
        ),
    )


def two_sided(value: float, verdict: VerdictView) -> ResultView:
    """Return a pH result held between two limits."""
    return ResultView(
        name="pH",
        value_text=f"{value:.2f}",
        expanded_text="0.06",
        unit="",
        basis_words=("at 25 °C",),
        limit_text="Allowed 10.5 to 11.5, target 11.0",
        verdict=verdict,
        strip=Strip(
            value=value,
            expanded=0.06,
            low=10.5,
            high=11.5,
            target=11.0,
            value_text=f"{value:.2f} ± 0.06",
            low_text="10.5",
            high_text="11.5",
            target_text="11.0",
            verdict=verdict,
        ),
    )


RAW = (
    RawReading(label="Reading", typed="1,42", unit="mS/cm"),
    RawReading(label="Sample temperature", typed="31.5", unit="°C"),
)
CORRECTION = CorrectionView(
    value_text="124 ± 3",
    unit="µS/cm",
    reason="Decimal slip, read 1240 on the dial.",
    by="Ada Brook",
    at_text="14:20",
)


def nav(current: str) -> tuple[NavItem, ...]:
    """Return the navigation of a supervisor with one entry marked as the present page."""
    labels = ("Round", "Log sheets", "Desk", "Plants")
    return tuple(NavItem(label=x, url="#", current=x == current) for x in labels)


def chrome(current: str = "", *, terminal: bool = False, locked: bool = False) -> Chrome:
    """Return the header of a page, on a desk or on a shared terminal."""
    return Chrome(
        plant_name="Alder Falls Mill",
        plant_id=PLANT,
        person_name="" if locked else "Ada Brook",
        on_terminal=terminal,
        roles=("tester",),
        nav=() if locked else nav(current),
        idle_seconds=90 if terminal else 0,
        locked=locked,
    )


ACTIONS = (
    ActionView(
        text="Continuous blowdown opened from 300 to 700 kg/h",
        at_text="12:20",
        by="Ada Brook",
        details=(RawReading(label="For", typed="2 h"),),
    ),
)
FOLLOW_UPS = (
    FollowUpView(
        text="Boiler 3: draw again",
        why="Out of range at 12:05, blown down since.",
        due_text="14:00",
        late_words="12 min late",
        sample_id=uid(63),
        plant_id=PLANT,
    ),
)


def form(*fields: FieldView, errors: tuple[str, ...] = ()) -> FormView:
    """Return a form under an invented key."""
    return FormView(fields=fields, key=uid(95), errors=errors)
