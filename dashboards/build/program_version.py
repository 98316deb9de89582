"""The page of a new program version, put together: form, schedule, sets, what it would judge."""

import re
from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta

from django.utils.translation import gettext as _

from dashboards import words
from dashboards.build.forms import choice_field, text_field
from dashboards.build.program_edit import Edited, limit_groups
from dashboards.build.program_events import add_event, event_lines
from dashboards.build.program_look import look_view
from dashboards.build.program_schedule import schedule_lines
from dashboards.build.program_sets import laid_view, set_choices, sets_left_out
from dashboards.build.program_words import point_words, program_about, program_name
from dashboards.build.results import analyte_name, basis_words
from dashboards.forms.bench import instant_of
from dashboards.forms.program import next_number, what, whats
from dashboards.forms.program_press import Laid
from dashboards.screens.fields import FieldView
from dashboards.screens.program_edit import EventEdit, ProgramVersionScreen, ScheduleEdit, Trouble
from records import clock
from records.errors import RecordError
from records.models import Boiler, Plant, Program, ProgramVersion, State
from records.selectors.preview import Preview

_LINE = re.compile(r"[lse]\d+")


def version_screen(
    edited: Edited,
    program: Program,
    follows: ProgramVersion | None,
    boilers: Sequence[Boiler],
    *,
    laid: Laid | None = None,
    seen: Preview | None = None,
) -> ProgramVersionScreen:
    """Return the form of a new version as it stands, with what was asked of it."""
    plant, head = edited.plant, edited.form.head
    groups = limit_groups(edited)
    begin = begins(edited, follows)
    schedule = schedule_lines(edited, begin)
    places = {
        each.name: f"{group.title}: {each.analyte}" for group in groups for each in group.limits
    }
    events = event_lines(edited)
    timed: tuple[ScheduleEdit | EventEdit, ...] = (*schedule, *events)
    places |= {each.name: f"{each.title}: {each.tests_text}" for each in timed}
    return ProgramVersionScreen(
        plant_id=str(plant.pk),
        program_id=str(program.pk),
        title=program_name(program),
        about=program_about(program),
        follows_text=_follows(plant, follows),
        groups=groups,
        schedule=schedule,
        events=events,
        add_limit=_add_limit(edited),
        add_line=_where(edited, "plan"),
        add_event=add_event(edited),
        next_limit=f"l{next_number(edited.form.limits)}",
        next_line=f"s{next_number(edited.form.lines)}",
        next_event=f"e{next_number(edited.form.events)}",
        sets=_sets(edited, boilers),
        other_sets=sets_left_out(boilers),
        in_force_from=text_field(
            "in_force_from",
            _("In force from"),
            head,
            kind="datetime-local",
            value=words.for_input(plant, begin),
            required=True,
            help=_("On the plant's clock. Never before draws that have been judged."),
            error=edited.errors.get("in_force_from", ""),
        ),
        note=text_field("note", _("Why it changes"), head, error=edited.errors.get("note", "")),
        key=edited.form.key,
        laid=laid_view(plant, laid) if laid else None,
        look=look_view(plant, edited.points, seen) if seen else None,
        trouble=_trouble(edited.errors, places),
    )


def _follows(plant: Plant, follows: ProgramVersion | None) -> str:
    if follows is None:
        return _("This is the program's first version.")
    at = words.moment(plant, follows.in_force_from)
    told = _("Begun from version %(number)s, in force from %(at)s.")
    return told % {"number": follows.number, "at": at}


def begins(edited: Edited, follows: ProgramVersion | None) -> datetime:
    """Return from when the version holds as far as it can be read; by itself, in five minutes."""
    try:
        typed = edited.form.head.get("in_force_from", "")
        return instant_of(edited.plant, typed, field="in_force_from")
    except RecordError:
        soon = clock.now() + timedelta(minutes=5)
        if follows is None:
            return soon
        return max(soon, follows.in_force_from + timedelta(hours=1))


def _where(edited: Edited, which: str) -> tuple[FieldView, ...]:
    """Return the fields that say to which sample point and state a new line belongs."""
    points = [(key, point_words(point)) for key, point in edited.points.items()]
    head, errors = edited.form.head, edited.errors
    fields = [
        choice_field(
            f"{which}.point",
            _("Sample point"),
            points,
            head,
            value=points[0][0] if points else "",
            required=True,
            error=errors.get(f"{which}.point", ""),
        )
    ]
    if any(point.boiler_id for point in edited.points.values()):
        fields.append(
            choice_field(
                f"{which}.state",
                _("While the boiler is"),
                [(str(state), str(label)) for state, label in State.choices],
                head,
                value=State.STEAMING.value,
                required=True,
                error=errors.get(f"{which}.state", ""),
            )
        )
    return tuple(fields)


def _add_limit(edited: Edited) -> tuple[FieldView, ...]:
    named = {
        what(analyte, basis): ", ".join((analyte_name(analyte), *basis_words(basis)))
        for analyte, basis in whats()
    }
    offered = sorted(named.items(), key=lambda each: each[1].lower())
    chosen = choice_field(
        "add.what",
        _("What is limited"),
        offered,
        edited.form.head,
        value=offered[0][0],
        required=True,
        error=edited.errors.get("add.what", ""),
    )
    return (*_where(edited, "add"), chosen)


def _sets(edited: Edited, boilers: Sequence[Boiler]) -> FieldView | None:
    choices = set_choices(boilers)
    if not choices:
        return None
    error = edited.errors.get("set", "")
    return choice_field(
        "set",
        _("Limit set"),
        choices,
        edited.form.head,
        value=choices[0][0],
        required=True,
        error=error,
    )


def _trouble(errors: Mapping[str, str], places: Mapping[str, str]) -> tuple[Trouble, ...]:
    """Return all that is wrong, each with its place on the page."""
    found = []
    for name, text in errors.items():
        line, _dot, key = name.partition(".")
        on_line = bool(_LINE.fullmatch(line))
        whole = key in ("what", "tests") or (key == "confirmed" and not on_line)
        anchor = "" if not name else line if on_line and whole else f"f-{name}"
        found.append(Trouble(anchor=anchor, where=places.get(line, ""), text=text))
    return tuple(found)
