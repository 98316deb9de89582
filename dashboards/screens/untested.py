"""Tests that were due and not done: missed, or explained."""

from dataclasses import dataclass

from dashboards.screens.fields import FormView


@dataclass(frozen=True, kw_only=True)
class MissedRow:
    """The tests of one draw that was owed and not made in time.

    `word` says whether they were missed, could not be tested or were tested late; `reason` why, and
    `said_by` who said so and when. `on_shift` names who is known to have been there. `slot_id` is
    given where a reason may still be recorded.
    """

    due_text: str
    boiler_name: str
    point_name: str
    tests: str
    word: str = ""
    reason: str = ""
    said_by: str = ""
    on_shift: str = ""
    slot_id: str = ""


@dataclass(frozen=True, kw_only=True)
class NotTestedScreen:
    """Say why tests could not be done, for all tests of one draw or some of them.

    `back` is where the person came from. Without a form nothing is open any more; `settled` lists
    what became of it.
    """

    plant_id: str
    slot_id: str
    missed: bool
    boiler_name: str
    point_name: str
    due_text: str
    back: str
    back_url: str
    late_words: str = ""
    why: str = ""
    notes: tuple[str, ...] = ()
    form: FormView | None = None
