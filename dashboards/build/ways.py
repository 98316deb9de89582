"""What follows from a sample: what stops, and the four steps for each result out of range."""

import json
from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, field
from datetime import timedelta
from uuid import UUID

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from chemistry import stop_words
from chemistry.remedies import remedy_for
from chemistry.stop_branch import Finding
from chemistry.verdict import SIDE_WORDS
from dashboards import words
from dashboards.build.forms import choice_field, form, text_field
from dashboards.build.remedy import call_words, remedy_view
from dashboards.build.results import analyte_name
from dashboards.build.sheets import KIND_WORDS, action_view, follow_up_view
from dashboards.screens.fields import FormView
from dashboards.screens.results import ActionView
from dashboards.screens.sample import (
    ConfirmView,
    RemedyView,
    SampleResult,
    StopFinding,
    StopView,
    WayView,
)
from records import clock
from records.actors import Actor
from records.models import Plant, Remedy, Sample
from records.permissions import Deed
from records.selectors.confirming import NOT_CONFIRMED, Confirmation, confirmation_of
from records.selectors.follow_ups import actions_by_result, follow_ups_of, remedies_of
from records.selectors.plan_inputs import WHOLE
from records.selectors.results import ResultStand
from records.selectors.stopping import STOP_LOOK, stops_open_at
from records.selectors.water_plans import next_retest

CONFIRM_FIRST = gettext_noop(
    "First draw a fresh sample and test again. Treat only what the second test confirms."
)
STOP_CONFIRM = gettext_noop(
    "Call first. Draw a fresh sample and test again at once beside it: nothing waits for it."
)
AFTER_CONFIRMING = gettext_noop("Advice comes once a second draw has confirmed this.")
WITHHELD = gettext_noop(
    "No ordinary remedy is offered: what stands at the top of this page comes first."
)
NO_REMEDY = gettext_noop("No remedy is worked out for this.")
LOOK = gettext_noop("Look of the sample")
# Stands for the result where a finding has none.
NO_RESULT = "look"


@dataclass(frozen=True, kw_only=True)
class SentBack:
    """A form of this page that was refused: which one, for which result, as it was typed."""

    form: str = ""
    result: str = ""
    posted: Mapping[str, str] = field(default_factory=dict)
    errors: Mapping[str, str] = field(default_factory=dict)

    def of(self, form: str, result: str) -> tuple[Mapping[str, str], Mapping[str, str]]:
        """Return what belongs to one form of one result."""
        if (form, result) != (self.form, self.result):
            return {}, {}
        return self.posted, self.errors


def stop_view(plant: Plant, sample: Sample, found: Sequence[Finding]) -> StopView | None:
    """Return what comes before everything else: this sample's findings, or an open one of the
    boiler's."""
    if found:
        return StopView(
            findings=tuple(
                StopFinding(
                    name=_(stop_words.NAMES[each.code]),
                    means=_(each.means),
                    first=tuple(_(text) for text in each.first),
                    source=each.source,
                )
                for each in found
            ),
            cautions=tuple(_(text) for text in stop_words.CAUTIONS),
            call=call_words(plant),
        )
    boiler = sample.sample_point.boiler
    held = stops_open_at(boiler, clock.now()) if boiler else []
    if not held:
        return None
    other = held[0].sample
    told = _("%(place)s, drawn %(at)s: a finding that comes before everything else is unanswered.")
    place = ", ".join(words.place(other.sample_point))
    return StopView(
        findings=(),
        cautions=tuple(_(text) for text in stop_words.CAUTIONS),
        call=call_words(plant),
        elsewhere=told % {"place": place, "at": words.time_of(plant, other.drawn_at)},
        elsewhere_id=str(other.pk),
    )


def to_act_on(
    stands: Sequence[ResultStand], found: Sequence[Finding]
) -> list[tuple[ResultStand | None, Finding | None]]:
    """Return what needs a way of its own: the findings' results first, then all out of range.

    A finding that no result shows, such as oil, has a way without one.
    """
    current = {s.result.analyte: s for s in stands if s.current}
    ways: dict[object, tuple[ResultStand | None, Finding | None]] = {}
    for finding in found:
        shown = [current[a] for a in finding.analytes if a in current]
        for stand in shown:
            ways.setdefault(stand.result.pk, (stand, finding))
        if not shown:
            ways.setdefault(finding.code, (None, finding))
    for stand in current.values():
        if stand.out_of_range:
            ways.setdefault(stand.result.pk, (stand, None))
    return list(ways.values())


class Ways:
    """Makes the ways of one sample; what they share is read once."""

    def __init__(self, actor: Actor, sample: Sample, stop: StopView | None, sent: SentBack) -> None:
        self._actor, self._plant, self._sample = actor, actor.plant, sample
        self._stop, self._sent = stop, sent
        worked_out = remedies_of(sample)
        self._remedies = [each for each in worked_out if each.kind != WHOLE]
        self._whole = next((each for each in worked_out if each.kind == WHOLE), None)
        self._actions = actions_by_result(sample)
        self._owed = follow_ups_of(sample)
        self._may = actor.may(Deed.TEST)

    def of(
        self,
        number: int,
        stand: ResultStand | None,
        finding: Finding | None,
        item: SampleResult | None,
    ) -> WayView:
        """Return one way with its four steps."""
        ids = f"w{number}" if number else ""
        if stand is None:
            return self._without_result(ids, finding)
        key, plant = str(stand.result.pk), self._plant
        known = confirmation_of(stand.result)
        remedy, advice = None, self._advice(stand, finding, known)
        kind = remedy_for(stand.result.analyte, stand.side)
        posted, errors = self._sent.of("remedy", key)
        # A form that was refused is shown again whatever stands meanwhile: what was typed stays.
        if (not advice or posted) and kind is not None and self._may:
            stored = next((r for r in self._remedies if r.result_id == stand.result.pk), None)
            remedy = remedy_view(plant, stand, kind, stored, posted, errors)
        owed = [f for f in self._owed if f.result_id == stand.result.pk and f.why != STOP_LOOK]
        action = self._action_form(stand, finding) if self._may else None
        name = _(stop_words.NAMES[finding.code]) if finding else _(SIDE_WORDS[stand.side])
        return WayView(
            way_id=way_id(stand),
            result_id=key,
            heading=f"{analyte_name(stand.result.analyte)}: {name}",
            item=item,
            ids=ids,
            confirm=self._confirm(stand, finding, known),
            remedy=remedy,
            advice=advice,
            actions=tuple(action_view(plant, a) for a in self._actions.get(stand.result.pk, ())),
            action_form=action,
            action_open=action is not None
            and (action.refused or bool(finding or _planned(remedy))),
            follow_ups=tuple(follow_up_view(plant, f) for f in owed),
        )

    def elsewhere(self, shown: Set[UUID]) -> tuple[ActionView, ...]:
        """Return what was done about results that have no way here (any more)."""
        keys = [key for key in self._actions if key is not None and key not in shown]
        return tuple(action_view(self._plant, a) for key in keys for a in self._actions[key])

    def _without_result(self, ids: str, finding: Finding | None) -> WayView:
        name = stop_words.NAMES[finding.code] if finding else ""
        return WayView(
            way_id="way-look",
            result_id=NO_RESULT,
            heading=f"{_(LOOK)}: {_(name)}",
            ids=ids,
            advice=_(WITHHELD),
            actions=tuple(action_view(self._plant, a) for a in self._actions.get(None, ())),
            action_form=self._action_form(None, finding) if self._may else None,
            action_open=True,
            follow_ups=tuple(
                follow_up_view(self._plant, f) for f in self._owed if f.why == STOP_LOOK
            ),
        )

    def _advice(self, stand: ResultStand, finding: Finding | None, known: Confirmation) -> str:
        """Return what is said in place of a remedy, or ""."""
        if self._stop is not None:
            return _(WITHHELD)
        if not known.confirmed:
            if known.later is None:
                return _(AFTER_CONFIRMING)
            if known.said_again:
                return _("Work the advice out on that sample.")
            return _("Nothing is treated.")
        if remedy_for(stand.result.analyte, stand.side) is None:
            return " ".join(filter(None, [_(NO_REMEDY), call_words(self._plant)]))
        return ""

    def _confirm(
        self, stand: ResultStand, finding: Finding | None, known: Confirmation
    ) -> ConfirmView:
        plant, draw = self._plant, known.owed is not None and self._may
        if finding is not None and known.later is None:
            return ConfirmView(text=_(STOP_CONFIRM), done=False, draw=draw)
        if known.earlier is not None:
            other = known.earlier.measurement.sample
            told = _("Confirmed: the draw of %(at)s said the same.")
            at = words.time_of(plant, other.drawn_at)
            return ConfirmView(text=told % {"at": at}, done=True, other_id=str(other.pk))
        if known.without:
            told = _("Acted on without a second draw: %(why)s")
            return ConfirmView(text=told % {"why": known.without}, done=True)
        if known.later is not None:
            return self._by_later(known)
        posted, errors = self._sent.of("without", str(stand.result.pk))
        without = _without_form(posted, errors) if self._may else None
        return ConfirmView(text=_(CONFIRM_FIRST), done=False, draw=draw, without=without)

    def _by_later(self, known: Confirmation) -> ConfirmView:
        assert known.later is not None and known.settled is not None
        told = _("Drawn again at %(at)s.")
        if known.said_again:
            told = _("Confirmed by the draw of %(at)s.")
        elif known.settled.note == NOT_CONFIRMED:
            told = _("Not confirmed by the draw of %(at)s. Both stay on record.")
        at = words.time_of(self._plant, known.later.drawn_at)
        return ConfirmView(text=told % {"at": at}, done=True, other_id=str(known.later.pk))

    def _action_form(self, stand: ResultStand | None, finding: Finding | None) -> FormView:
        key = str(stand.result.pk) if stand else NO_RESULT
        posted, errors = self._sent.of("action", key)
        stored = next((r for r in self._remedies if stand and r.result_id == stand.result.pk), None)
        first = "called" if finding or stand is None else _usual(stand)
        minutes = _retest_after(stored or self._whole)
        return action_form(self._plant, posted, errors, first=first, minutes=minutes)


def _planned(remedy: RemedyView | None) -> bool:
    return remedy is not None and remedy.plan is not None


def way_id(stand: ResultStand) -> str:
    """Return the anchor of a result's way."""
    return f"way-{stand.result.analyte}"


def _usual(stand: ResultStand) -> str:
    """Return the kind of action that usually answers a result."""
    kind = remedy_for(stand.result.analyte, stand.side)
    if kind is None:
        return "called"
    if kind.key.startswith("dose"):
        return "dose"
    return "blowdown" if kind.key == "blowdown" else "feed_set"


def _retest_after(stored: Remedy | None) -> float:
    if stored is None or stored.refusal:
        return 60.0
    after = timedelta(minutes=float(json.loads(stored.plan)["retest_after_min"]))
    return next_retest(after).total_seconds() / 60.0


def _without_form(posted: Mapping[str, str], errors: Mapping[str, str]) -> FormView:
    return form(
        text_field(
            "reason",
            _("Why it can be acted on without a second draw"),
            posted,
            help=_("Such as “this was the repeat”, or who said so."),
            required=True,
            error=errors.get("reason", ""),
        ),
        errors=[errors[""]] if "" in errors else (),
    )


def action_form(
    plant: Plant,
    posted: Mapping[str, str],
    errors: Mapping[str, str],
    *,
    first: str,
    minutes: float,
) -> FormView:
    """Return the form for what was really done."""
    now = clock.now()
    retest = words.for_input(plant, now + timedelta(minutes=minutes))
    return form(
        choice_field(
            "kind",
            _("What was done"),
            [(key, _(text)) for key, text in KIND_WORDS.items()],
            posted,
            kind="radio",
            value=first,
            required=True,
            error=errors.get("kind", ""),
        ),
        text_field(
            "amount",
            _("How much, and of what, in your own figures"),
            posted,
            help=_("As you read it: “valve at 3 for 2 h”, “1 lb 4 oz trisodium phosphate”."),
            error=errors.get("amount", ""),
        ),
        text_field(
            "note",
            _("Remark: whom you called, or why"),
            posted,
            error=errors.get("note", ""),
        ),
        text_field(
            "done_at",
            _("Done at"),
            posted,
            kind="datetime-local",
            value=words.for_input(plant, now),
            required=True,
            error=errors.get("done_at", ""),
        ),
        text_field(
            "retest_at",
            _("Test again at"),
            posted,
            kind="datetime-local",
            value=retest,
            required=True,
            error=errors.get("retest_at", ""),
        ),
        errors=[errors[""]] if "" in errors else (),
    )
