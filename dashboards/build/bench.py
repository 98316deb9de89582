"""The bench sheet: from what is typed on it to what it shows."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from functools import cached_property

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from chemistry import methods
from chemistry.methods.base import Method
from dashboards import words
from dashboards.build.bench_block import test_block
from dashboards.build.event_words import event_why
from dashboards.forms.bench import (
    DRAWN_AT,
    drawn_at_of,
    entry_of,
    methods_of,
    with_defaults,
)
from dashboards.screens.bench import BenchReply, BenchScreen, StateMismatch, TestBlock
from dashboards.screens.fields import Choice, FieldView
from records import clock
from records.errors import RecordError
from records.models import Draft, Plant, SamplePoint, State
from records.selectors.bench import Draw, WorkedTest, draw_of, tests_news, tests_work
from records.selectors.habits import Habits
from records.selectors.instruments import Shelf, shelf_of
from records.selectors.programs import state_at, state_has_program
from records.services.samples import draw_check
from records.shifts import local

# Common practice, no source.
BEFORE_DRAWING = (
    gettext_noop("Cooling water on first: an uncooled sample flashes and scalds."),
    gettext_noop(
        "Flush the line, then draw at 38 °C (100 °F) or less. Wear eye protection and gloves."
    ),
    gettext_noop("Your plant's sampling procedure comes first."),
)


def bench_screen(
    draft: Draft,
    *,
    sent: Mapping[str, str] | None = None,
    shown: Mapping[str, str] | None = None,
    finishing: bool = False,
    errors: tuple[str, ...] = (),
) -> BenchScreen:
    """Return the bench sheet of a draft; with `finishing`, empty fields are told too.

    `sent` is what was typed and could not be kept: it stays in its fields. `shown` says, by form
    name, which mode's fields the page shows now.
    """
    sheet = _Sheet(draft, draft.typed if sent is None else sent)
    point, plant, used, draw = sheet.point, sheet.point.plant, sheet.used, sheet.draw
    works = tests_work(draw, sheet.entries)
    boiler_name, point_name = words.place(point)
    return BenchScreen(
        plant_id=str(plant.pk),
        draft_id=str(draft.pk),
        revision=draft.revision,
        boiler_name=boiler_name,
        point_name=point_name,
        pressure_text=words.boiler_pressure(plant, point.boiler),
        state_word=words.state_word(draw.state),
        drawn=sheet.drawn,
        blocks=sheet.blocks(works, finishing=finishing, shown=shown),
        addable=tuple(_addable(used)),
        saved_text=_saved(plant, draft),
        cautions=tuple(_(text) for text in BEFORE_DRAWING),
        why=_why(draft),
        due_text=_("due %(at)s") % {"at": words.time_of(plant, draft.slot.due_at)}
        if draft.slot
        else "",
        slot_id=str(draft.slot_id or ""),
        mismatch=_mismatch(draft, draw),
        errors=errors,
    )


def bench_reply(
    draft: Draft,
    before: Mapping[str, str],
    *,
    shown: Mapping[str, str],
    finishing: bool,
    in_step: bool,
) -> BenchReply:
    """Return what a saved sheet changes on a page that showed it as `before`.

    A page that is not in step, or whose draw is another one now, gets every test anew.
    """
    sheet = _Sheet(draft, draft.typed)
    if finishing or not in_step or before.get(DRAWN_AT) != draft.typed.get(DRAWN_AT):
        works = tests_work(sheet.draw, sheet.entries)
    else:
        was = _Sheet(draft, before, like=sheet)
        works = tests_news(sheet.draw, sheet.entries, was.entries)
    return BenchReply(
        drawn=sheet.drawn,
        blocks=sheet.blocks(works, finishing=finishing, shown=shown),
        saved_text=_saved(sheet.point.plant, draft),
    )


class _Sheet:
    """What is typed on a bench sheet, filled up with what stands there by itself; `like` another
    one, whose shelf and habits are used again."""

    def __init__(
        self, draft: Draft, given: Mapping[str, str], like: "_Sheet | None" = None
    ) -> None:
        self.point: SamplePoint = draft.sample_point
        self.used = methods_of(draft.method_versions)
        self._given = given
        keys = [method.key for method in self.used]
        self._shelf: Shelf = like._shelf if like else shelf_of(self.point.plant)
        self._habits: Habits = like._habits if like else Habits(self.point, keys)
        self.typed = with_defaults(self.point, self.used, given, self._shelf, self._habits)
        self.entries = [entry_of(method, self.typed) for method in self.used]

    @cached_property
    def draw(self) -> Draw:
        """The draw, now where its time can't be."""
        drawn_at = _drawn(self.point.plant, self.typed)[0]
        return draw_of(self.point, state_at(self.point.boiler, drawn_at), drawn_at, self._shelf)

    @property
    def drawn(self) -> FieldView:
        """The field for the time of the draw."""
        return FieldView(
            name=DRAWN_AT,
            id="drawn-at",
            label=_("Drawn at"),
            kind="datetime-local",
            value=self.typed.get(DRAWN_AT, ""),
            error=_drawn(self.point.plant, self.typed)[1],
            required=True,
        )

    def blocks(
        self, works: Sequence[WorkedTest], *, finishing: bool, shown: Mapping[str, str] | None
    ) -> tuple[TestBlock, ...]:
        """Return the tests as they are shown."""
        return tuple(
            test_block(
                self.draw,
                work,
                self.typed,
                finishing=finishing,
                shown=shown,
                given=self._given,
                habits=self._habits,
            )
            for work in works
        )


def _drawn(plant: Plant, typed: Mapping[str, str]) -> tuple[datetime, str]:
    try:
        drawn_at = drawn_at_of(plant, typed)
        draw_check(drawn_at)
    except RecordError as error:
        return clock.now(), str(error)
    return drawn_at, ""


def _saved(plant: Plant, draft: Draft) -> str:
    if not draft.revision:
        return ""
    at = local(plant, draft.changed_at).strftime("%H:%M:%S")
    return _("Saved at %(at)s") % {"at": at}


def _why(draft: Draft) -> str:
    if draft.slot is None:
        return ""
    if draft.slot.follow_up is None:
        return event_why(draft.plant, draft.slot)
    return _(FOLLOW_UP_WHY.get(draft.slot.follow_up.why, ""))


FOLLOW_UP_WHY = {
    "confirm": gettext_noop("Confirm: a fresh draw, since the last result was out of range."),
    "near_limit": gettext_noop("Repeat: the last result lay near its limit."),
    "after_action": gettext_noop("Retest: see whether what was done has worked."),
    "high": gettext_noop("The result was high."),
    "low": gettext_noop("The result was low."),
}


def _mismatch(draft: Draft, draw: Draw) -> StateMismatch | None:
    """Offer a change of state where the program has nothing for the one recorded."""
    point, state = draw.point, draw.state
    if point.boiler is None or draw.limits or state_has_program(point, state, draw.drawn_at):
        return None
    told = _("%(boiler)s is recorded as “%(state)s”, and its program has no limits for that.")
    return StateMismatch(
        boiler_id=str(point.boiler.pk),
        text=told % {"boiler": point.boiler.name, "state": words.state_word(state) or "?"},
        choices=tuple(
            Choice(value=value, label=str(label), selected=value == State.STEAMING)
            for value, label in State.choices
        ),
        key=f"state-{draft.pk}-{draft.revision}",
    )


def _addable(used: list[Method]) -> list[Choice]:
    """Return the tests that this sheet does not hold yet, by name."""
    have = {method.key for method in used}
    more = [methods.latest(key) for key in dict.fromkeys(k for k, _v in methods.METHODS)]
    choices = [Choice(value=m.key, label=_(m.name)) for m in more if m.key not in have]
    return sorted(choices, key=lambda choice: choice.label)
