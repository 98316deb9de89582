"""The draws that events ask for, in a program's form: what happened, which tests, how soon."""

from collections.abc import Mapping, Sequence

from django.utils.translation import gettext as _

from chemistry import units
from chemistry.analytes import ANALYTES
from chemistry.bases import BASES
from dashboards import words
from dashboards.build.event_words import happening_words
from dashboards.build.forms import choice_field, text_field
from dashboards.build.program_edit import Edited
from dashboards.build.program_schedule import errors_of, test_ticks
from dashboards.build.program_words import point_words, test_names
from dashboards.build.results import analyte_name
from dashboards.forms.program import USUAL_GRACE, Line
from dashboards.forms.program_read import tests_ticked
from dashboards.screens.fields import FieldView
from dashboards.screens.program_edit import EventEdit
from records.models import DrawEvent, Plant, SamplePoint, State
from records.selectors.event_draws import events_at

_KEPT = ("event", "point", "watched", "analyte")


def event_lines(edited: Edited) -> tuple[EventEdit, ...]:
    """Return the draws after events of the form."""
    return tuple(
        _line(edited, f"e{number}", line, point)
        for number, line in edited.form.events.items()
        if (point := edited.points.get(line.get("point", ""))) is not None
    )


def _line(edited: Edited, name: str, line: Line, point: SamplePoint) -> EventEdit:
    out = bool(line.get("out"))
    errors = {} if out else errors_of(edited.errors, name)
    kept = list(line) if out else _KEPT
    ticks = test_ticks(name, line, point)
    tests = [key for key in tests_ticked(line) if f"{name}.test.{key}" in {t.name for t in ticks}]
    return EventEdit(
        name=name,
        title=_("%(happened)s: draw at %(place)s")
        % {"happened": _happened(edited, line), "place": point_words(point)},
        hidden=tuple((f"{name}.{key}", line[key]) for key in kept if line.get(key)),
        out=out,
        tests_text=test_names(tests) or _("no test yet"),
        ticks=ticks,
        watching=_watching(edited.plant, name, line, errors),
        times=_times(name, line, errors),
        more=_more(name, line, point, errors),
        tests_error=errors.get("tests", ""),
        open=not tests or "tests" in errors,
    )


def _happened(edited: Edited, line: Line) -> str:
    watched, analyte = edited.watched.get(line.get("watched", "")), line.get("analyte", "")
    return happening_words(line.get("event", ""), watched, analyte)


def _minutes(name: str, key: str, label: str, line: Line, usual: str, error: str) -> FieldView:
    return text_field(
        f"{name}.{key}",
        label,
        {},
        kind="number",
        value=line.get(key, usual),
        unit=_("min"),
        required=True,
        error=error,
    )


def _times(name: str, line: Line, errors: Mapping[str, str]) -> tuple[FieldView, ...]:
    """Return the fields of when the draw is due, and how late it may be."""
    late = errors.get("grace", "")
    return (
        _minutes(name, "after", _("How long after"), line, "0", errors.get("after", "")),
        _minutes(name, "grace", _("May be late by"), line, USUAL_GRACE, late),
    )


def _watching(
    plant: Plant, name: str, line: Line, errors: Mapping[str, str]
) -> tuple[FieldView, ...]:
    """Return the trigger with its unit; nothing where no result is watched."""
    analyte = line.get("analyte", "")
    if line.get("event") != DrawEvent.RESULT_ABOVE or analyte not in ANALYTES:
        return ()
    usual = ANALYTES[analyte].unit
    offered = dict.fromkeys((words.plant_unit(plant, usual), usual, line.get("unit", "")))
    chosen = {f"{name}.unit": line.get("unit") or words.plant_unit(plant, usual)}
    return (
        text_field(
            f"{name}.trigger",
            _("Above"),
            {},
            kind="number",
            value=line.get("trigger", ""),
            required=True,
            error=errors.get("trigger", ""),
        ),
        choice_field(
            f"{name}.unit",
            _("Unit"),
            [(unit, units.label(unit)) for unit in offered if unit],
            chosen,
            required=True,
            error=errors.get("unit", ""),
        ),
    )


def _more(
    name: str, line: Line, point: SamplePoint, errors: Mapping[str, str]
) -> tuple[FieldView, ...]:
    """Return the source, and for a boiler the state in which the draw is asked for."""
    source = text_field(
        f"{name}.source",
        _("Source of this draw"),
        {},
        value=line.get("source", ""),
        help=_("The document, year and section, or who decided it for this plant."),
        required=True,
        error=errors.get("source", ""),
    )
    if point.boiler_id is None and not line.get("state"):
        return (source,)
    states = [(str(state), str(label)) for state, label in State.choices]
    state = choice_field(
        f"{name}.state",
        _("Only while the boiler is"),
        [("", _("in any state")), *states],
        {f"{name}.state": line.get("state", "")},
        help=_("When the draw falls due; in another state it is not asked for."),
        required=True,
        error=errors.get("state", ""),
    )
    return (source, state)


def add_event(edited: Edited) -> tuple[FieldView, ...]:
    """Return the fields that say what happens and where to draw then."""
    happening = dict.fromkeys(e for point in edited.points.values() for e in events_at(point))
    above = _("Only for a result above a trigger.")
    analytes = sorted(((key, analyte_name(key)) for key in BASES), key=lambda each: each[1].lower())
    where, watched = _points(edited.points), _points(edited.watched)
    return (
        _pick(edited, "event", _("What happened"), [(e.value, str(e.label)) for e in happening]),
        _pick(edited, "point", _("Where to draw"), where),
        _pick(edited, "watched", _("Where it is watched"), watched, help=above),
        _pick(edited, "analyte", _("What is watched"), analytes, "conductivity", help=above),
    )


def _points(points: Mapping[str, SamplePoint]) -> list[tuple[str, str]]:
    return [(key, point_words(point)) for key, point in points.items()]


def _pick(
    edited: Edited,
    key: str,
    label: str,
    choices: Sequence[tuple[str, str]],
    value: str = "",
    *,
    help: str = "",
) -> FieldView:
    return choice_field(
        f"when.{key}",
        label,
        choices,
        edited.form.head,
        value=value or next((first for first, _label in choices), ""),
        required=True,
        error=edited.errors.get(f"when.{key}", ""),
        help=help,
    )
