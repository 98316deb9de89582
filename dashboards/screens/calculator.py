"""The calculator: the list of questions, and one question with what comes out."""

from dataclasses import dataclass

from dashboards.screens.fields import Choice, FieldView


@dataclass(frozen=True, kw_only=True)
class Question:
    """One question of the list."""

    key: str
    text: str
    purpose: str


@dataclass(frozen=True, kw_only=True)
class Subject:
    """The questions about one subject."""

    name: str
    questions: tuple[Question, ...]


@dataclass(frozen=True, kw_only=True)
class CalculatorScreen:
    """All questions, by subject."""

    subjects: tuple[Subject, ...]


@dataclass(frozen=True, kw_only=True)
class AnswerView:
    """One figure that came out; `between` is its interval in words, `units` what it can be read
    in."""

    key: str
    label: str
    value: str
    unit: str
    between: str = ""
    units: tuple[Choice, ...] = ()

    @property
    def unit_name(self) -> str:
        """The name under which the unit chosen travels."""
        return f"answer.{self.key}.unit"


@dataclass(frozen=True, kw_only=True)
class CalculationScreen:
    """One question: its fields, and its answers or what stands in their way.

    `waiting` says which figures are still to be given; `refusal` why there is no answer. `touched`
    says that something was sent.
    """

    key: str
    question: str
    purpose: str
    fields: tuple[FieldView, ...]
    validity: str
    sources: str
    example: str
    answers: tuple[AnswerView, ...] = ()
    remarks: tuple[str, ...] = ()
    waiting: str = ""
    refusal: str = ""
    cautions: tuple[str, ...] = ()
    touched: bool = False
