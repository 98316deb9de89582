"""A worked result, its verdict and its range strip: the same on every screen."""

from dataclasses import dataclass
from typing import Literal

Side = Literal["in_range", "low", "high", "not_judged"]


@dataclass(frozen=True, kw_only=True)
class VerdictView:
    """A verdict in words; the template adds the shape that belongs to `side`.

    `word` is the marked and translated word of the side, `reason` why it is not judged or in doubt.
    """

    side: Side
    word: str
    near_limit: bool = False
    in_doubt: bool = False
    reason: str = ""


@dataclass(frozen=True, kw_only=True)
class Strip:
    """What a range strip is drawn from; all floats are in one unit.

    `value` None draws the bare scale. Texts are ready made, without their unit except `value_text`
    ("1240 ± 30 µS/cm"); an empty text means that there is none.
    """

    value: float | None
    expanded: float | None = None
    low: float | None = None
    high: float | None = None
    target: float | None = None
    value_text: str = ""
    low_text: str = ""
    high_text: str = ""
    target_text: str = ""
    verdict: VerdictView | None = None


@dataclass(frozen=True, kw_only=True)
class ResultView:
    """One worked result ready to print: figure, ± expanded uncertainty, unit, basis, verdict."""

    name: str
    value_text: str
    unit: str
    strip: Strip
    verdict: VerdictView
    expanded_text: str = ""
    qualifier: str = ""
    basis_words: tuple[str, ...] = ()
    limit_text: str = ""


@dataclass(frozen=True, kw_only=True)
class OutcomeView:
    """What a check of the boiler showed, in words; `grave` where the boiler must not run so."""

    name: str
    word: str
    grave: bool = False
    reason: str = ""
    remark: str = ""
    witness: str = ""


@dataclass(frozen=True, kw_only=True)
class RawReading:
    """One raw reading as it was typed; `old` is what it replaced ("" where nothing)."""

    label: str
    typed: str
    unit: str = ""
    old: str = ""


@dataclass(frozen=True, kw_only=True)
class CorrectionView:
    """An older version of a result or a check, still readable, and why it was replaced.

    A check has words in `value_text` and no unit.
    """

    value_text: str
    unit: str
    reason: str
    by: str
    at_text: str
    amendment: bool = False
    raw: tuple[RawReading, ...] = ()


@dataclass(frozen=True, kw_only=True)
class CheckRow:
    """A check as it counts: when, where and by whom, what it showed, what stood there before.

    `correct_word` is "Correct" or "Amend", or "" where neither is open to this person.
    """

    measurement_id: str
    drawn_text: str
    place: str
    tester_name: str
    outcome: OutcomeView
    corrections: tuple[CorrectionView, ...] = ()
    correct_word: str = ""


@dataclass(frozen=True, kw_only=True)
class FollowUpView:
    """Something owed by a time; `late_words` is "" while there is time left.

    `text` says where and what, `act` what alone.
    """

    text: str
    act: str = ""
    why: str = ""
    due_text: str = ""
    late_words: str = ""
    sample_id: str = ""
    plant_id: str = ""


@dataclass(frozen=True, kw_only=True)
class ActionView:
    """What was really done: the words of the person who did it, when and by whom."""

    text: str
    at_text: str
    by: str
    details: tuple[RawReading, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Figure:
    """A labelled figure of a plan or a summary; the unit stands quietly beside it."""

    label: str
    value: str
    unit: str = ""
    note: str = ""
