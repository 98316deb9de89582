"""One test of the bench sheet: its fields, its folds, and what comes of it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from django.utils.translation import gettext as _

from chemistry import units
from chemistry.methods.base import Field, Method
from dashboards import words
from dashboards.build import bench_folds as fold
from dashboards.build.instruments import instrument_views
from dashboards.build.results import judged_view, outcome_view
from dashboards.forms.bench import (
    Names,
    stands,
)
from dashboards.screens.bench import (
    FieldError,
    InstrumentView,
    ModeView,
    StepView,
    TestBlock,
    WorkedView,
)
from dashboards.screens.fields import Choice, FieldView, Kind
from records.models import Plant
from records.selectors.bench import Draw, Trouble, WorkedTest
from records.selectors.habits import Habits


def test_block(
    draw: Draw,
    work: WorkedTest,
    typed: Mapping[str, str],
    *,
    finishing: bool,
    old: Mapping[str, str] | None = None,
    shown: Mapping[str, str] | None = None,
    given: Mapping[str, str] | None = None,
    habits: Habits | None = None,
) -> TestBlock:
    """Return one test of the sheet: its fields in all modes, instruments, steps, live result.

    Of `typed`, what is not in `given` stands there by itself. What is as by habit is folded.
    """
    method, names = work.method, Names(work.method.key)
    told = _messages(work, finishing)
    asked = [
        (field, replace(view, carried=view.carried and view.name not in (given or typed)))
        for field, view in _fields(method, names, typed, told, work.entry.mode, old or {})
    ]
    standing = tuple(view for field, view in asked if stands(field))
    means = instrument_views(draw, method, typed, told)
    anew = (shown or {}).get(names.shown, work.entry.mode) != work.entry.mode
    # Only a page, or fields that come anew, show folds.
    habit = habits.of(method.key) if habits and (anew or not shown) else None
    usual = habit is not None and habit.mode == work.entry.mode
    return TestBlock(
        key=method.key,
        name=_(method.name),
        purpose=_(method.purpose),
        mode_name=names.mode,
        mode_question=_(method.mode_question) if method.mode_question else "",
        modes=tuple(
            ModeView(
                key=mode.key,
                label=_(mode.label),
                help=_(mode.help),
                selected=mode.key == work.entry.mode,
            )
            for mode in method.modes
        ),
        fields=tuple(view for field, view in asked if not stands(field)),
        standing=standing,
        mode_text=_mode_text(work),
        standing_text=fold.standing_text(standing),
        means_text=fold.means_text(means),
        modes_folded=usual,
        standing_folded=usual and fold.standing_settled(standing),
        means_folded=usual and fold.means_settled(means),
        shown_name=names.shown,
        shown_mode=work.entry.mode,
        fields_anew=anew,
        instruments=means,
        steps=tuple(StepView(text=_(s.text), caution=s.caution) for s in method.steps),
        worked=worked_view(draw.point.plant, work, told, means, finishing=finishing),
        source=method.source,
        sample_text=_("Takes at least %(ml)s mL of sample.") % {"ml": f"{method.sample_ml:g}"},
    )


test_block.__test__ = False  # type: ignore[attr-defined]


def _messages(work: WorkedTest, finishing: bool) -> dict[str, str]:
    """Return trouble by field key; what is merely still empty is told only at the end."""
    return {
        key: words.sentence(error)
        for key, error in work.errors.items()
        if finishing or not _merely_empty(key, error)
    }


def _merely_empty(key: str, error: Trouble) -> bool:
    empty = error.code == "missing" and not key.startswith("instrument-")
    return empty or key == "confirm"


def _fields(
    method: Method,
    names: Names,
    typed: Mapping[str, str],
    told: Mapping[str, str],
    mode: str,
    old: Mapping[str, str],
) -> list[tuple[Field, FieldView]]:
    """Return the fields of all modes, those of the present one first and in its own order."""
    asked: dict[str, Field] = {}
    modes: dict[str, list[str]] = {}
    for each in sorted(method.modes, key=lambda each: each.key != mode):
        for field in each.fields:
            asked.setdefault(field.key, field)
            modes.setdefault(field.key, []).append(each.key)
    return [
        (field, _field(field, names, typed, told, tuple(modes[key]), mode, old))
        for key, field in asked.items()
    ]


def _mode_text(work: WorkedTest) -> str:
    labels = {mode.key: mode.label for mode in work.method.modes}
    return _(labels[work.entry.mode]) if work.entry.mode in labels else ""


def _field(
    field: Field,
    names: Names,
    typed: Mapping[str, str],
    told: Mapping[str, str],
    modes: tuple[str, ...],
    mode: str,
    old: Mapping[str, str],
) -> FieldView:
    value = typed.get(names.field(field.key), field.default)
    unit = typed.get(names.unit(field.key), "")
    return FieldView(
        name=names.field(field.key),
        id=names.field_id(field.key),
        label=_(field.label),
        value=value,
        kind=_kind(field),
        unit=units.label(field.unit) if len(field.units) == 1 else "",
        units=tuple(Choice(value=u, label=units.label(u), selected=u == unit) for u in field.units)
        if len(field.units) > 1
        else (),
        unit_name=names.unit(field.key),
        choices=_choices(field, value),
        error=told.get(field.key, ""),
        help=_(field.help) if field.help else "",
        required=field.required,
        asked_when=_(field.asked_when) if field.asked_when else "",
        modes=modes,
        shown=mode in modes,
        old=old.get(field.key, ""),
        carried=bool(field.carried and value and value != field.default),
    )


def worked_view(
    plant: Plant,
    work: WorkedTest,
    told: Mapping[str, str],
    means: Sequence[InstrumentView],
    *,
    finishing: bool,
) -> WorkedView:
    """Return the live area of a test: its result, or what is still awaited."""
    names = Names(work.method.key)
    doubtful = [use for use in work.uses if use.in_doubt]
    doubt = _("%(name)s is not in order.") % {"name": doubtful[0].used.name} if doubtful else ""
    shown = [judged_view(plant, judged, in_doubt=doubt) for judged in work.results]
    every = [field.key for mode in work.method.modes for field in mode.fields]
    places = [*(names.field_id(key) for key in every), *_ids(means)]
    by_place = {names.id_of_trouble(key): text for key, text in told.items()}
    notes = _notes(work)
    missing = _missing(work)
    fields = {"fields": ", ".join(missing)}
    waiting = _("Still to be read: %(fields)s") % fields if missing else ""
    trouble = tuple(words.sentence(e) for k, e in work.errors.items() if k in ("", "mode"))
    return WorkedView(
        block_key=work.method.key,
        result=shown[0] if shown else None,
        more=tuple(shown[1:]),
        outcomes=tuple(
            outcome_view(
                each.check,
                each.outcome,
                reason=each.reason,
                remark=each.remark,
                witness=each.witness,
            )
            for each in work.outcomes
        ),
        waiting=waiting,
        warnings=tuple(words.told(doubt.template, doubt.params) for doubt in work.suspicions),
        confirm=_confirm(work, names, told),
        notes=tuple(words.told(template, params) for template, params in notes),
        trouble=trouble,
        errors=tuple(
            FieldError(field_id=place, message=by_place.get(place, ""))
            for place in dict.fromkeys(places)
        ),
    )


def _ids(means: Sequence[InstrumentView]) -> Iterator[str]:
    """Yield the ids of the fields for instruments and lots that the page shows."""
    for view in means:
        yield view.choice.id
        if view.reason:
            yield view.reason.id


def _confirm(work: WorkedTest, names: Names, told: Mapping[str, str]) -> FieldView | None:
    """Return the box by which a tester says that an unlikely value is right as it stands."""
    if not work.to_confirm:
        return None
    return FieldView(
        name=names.confirm,
        id=f"{work.method.key}-confirm",
        label=_("I looked again: it is right as it stands"),
        kind="checkbox",
        value=work.to_confirm,
        choices=(Choice(value=work.to_confirm, label="", selected=not work.unconfirmed),),
        error=told.get("confirm", ""),
    )


def _notes(work: WorkedTest) -> list[tuple[str, dict[str, str]]]:
    """Return the notes of all results and outcomes, each once."""
    every = [note for judged in work.results for note in judged.worked.notes]
    every += [note for outcome in work.outcomes for note in outcome.notes]
    return [note for number, note in enumerate(every) if note not in every[:number]]


def _missing(work: WorkedTest) -> list[str]:
    """Return the names of the fields that are still empty."""
    known = {mode.key: mode for mode in work.method.modes}
    if work.entry.mode not in known:
        return []
    fields = known[work.entry.mode].fields
    codes = {key: error.code for key, error in work.errors.items()}
    return [_(field.label) for field in fields if codes.get(field.key) == "missing"]


def _choices(field: Field, value: str) -> tuple[Choice, ...]:
    """Return a field's choices; a folded one with no default begins with none picked."""
    offered = [(v, _(label)) for v, label in field.choices]
    if offered and _kind(field) == "select" and not field.default:
        offered.insert(0, ("", _("pick one") if field.required else _("none")))
    return tuple(Choice(value=v, label=label, selected=v == value) for v, label in offered)


def _kind(field: Field) -> Kind:
    """Return how a field is typed: few choices are all shown, many are folded."""
    if field.choices:
        return "radio" if len(field.choices) <= 4 else "select"
    return "text" if field.longest else "number"
