"""What the buttons of the program form do: add, take out, put back, lay a set beside."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext_noop

from chemistry import units
from chemistry.analytes import ANALYTES
from chemistry.bases import BASES
from chemistry.entry import parse_number
from chemistry.errors import EntryError
from chemistry.limit_sets import LimitLine, LimitSet
from dashboards import words
from dashboards.forms.program import (
    Line,
    ProgramForm,
    new_event,
    new_limit,
    new_line,
    refuse_more,
    watching,
    what,
    whats,
)
from records.errors import RecordError
from records.limit_library import limit_sets, line_of, reference_to, set_of
from records.models import Boiler, DrawEvent, Plant, SampleKind, SamplePoint, State
from records.selectors.event_draws import NOT_AN_EVENT, events_at
from records.selectors.program_entry import NOT_A_STATE, UNKNOWN_ANALYTE

THERE_ALREADY = gettext_noop("This sample point has a limit for it in this state already.")
PICK_A_SET = gettext_noop("Pick one of the sets given.")
PICK_A_POINT = gettext_noop("Pick one of the sample points given.")
# What a new boiler is tested by until the chemist sets another schedule.
EVERY_FOUR_HOURS = "02:00 06:00 10:00 14:00 18:00 22:00"
_CONDUCTIVITY = (what("conductivity", "25C|not_neutralized|"), "uS/cm")
_LONGEST_SOURCE, _LONGEST_NOTE = 200, 300


@dataclass(frozen=True, kw_only=True)
class Laid:
    """A set that was laid beside the form: which of its lines, and what it knows nothing of."""

    chosen: LimitSet
    boiler: Boiler
    added: tuple[str, ...]
    beside: tuple[str, ...]
    silent: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Desk:
    """What a program's form is about: its plant, its sample points, the boilers that count.

    `watched` are the plant's points whose results may ask for a draw at one of them.
    """

    plant: Plant
    points: Mapping[str, SamplePoint]
    watched: Mapping[str, SamplePoint]
    boilers: Sequence[Boiler]


def press(form: ProgramForm, desk: Desk, button: str) -> Laid | None:
    """Carry out a button of the form; raises RecordError with the field that it needs."""
    verb, _, rest = button.partition(".")
    if verb in ("out", "back"):
        _mark(form, rest, "1" if verb == "out" else "")
    elif verb == "add-limit":
        _add_limit(form, desk)
    elif verb == "add-line":
        _add_line(form, desk)
    elif verb == "add-event":
        _add_event(form, desk)
    elif verb == "use":
        number, _, reference = rest.partition(".")
        line = form.named(f"l{number}")
        if line is not None:
            take(line, reference)
    elif verb == "lay":
        return _lay(form, desk)
    return None


def _mark(form: ProgramForm, name: str, out: str) -> None:
    line = form.named(name)
    if line is not None:
        line["out"] = out


def _where(form: ProgramForm, desk: Desk, which: str) -> tuple[str, str]:
    """Return the point and state chosen for a new line."""
    point = form.head.get(f"{which}.point", "")
    state = form.head.get(f"{which}.state", "") or State.STEAMING.value
    if point not in desk.points:
        raise RecordError("not_a_point", PICK_A_POINT, field=f"{which}.point")
    if state not in State.values:
        raise RecordError("not_a_state", NOT_A_STATE, field=f"{which}.state")
    return point, state


def _add_limit(form: ProgramForm, desk: Desk) -> None:
    refuse_more(form)
    point, state = _where(form, desk, "add")
    chosen = form.head.get("add.what", "")
    analyte, _, basis = chosen.partition("~")
    if (analyte, basis) not in whats():
        raise RecordError("unknown_analyte", UNKNOWN_ANALYTE, field="add.what")
    if form.limit_of(point, state, analyte) is not None:
        raise RecordError("there_already", THERE_ALREADY, field="add.what")
    form.add_limit(new_limit(desk.plant, point, state, chosen, ANALYTES[analyte].unit))


def _add_line(form: ProgramForm, desk: Desk) -> None:
    refuse_more(form)
    form.add_line(new_line(*_where(form, desk, "plan")))


def _add_event(form: ProgramForm, desk: Desk) -> None:
    refuse_more(form)
    point, event = form.head.get("when.point", ""), form.head.get("when.event", "")
    if point not in desk.points:
        raise RecordError("not_a_point", PICK_A_POINT, field="when.point")
    if event not in events_at(desk.points[point]):
        raise RecordError("not_an_event", NOT_AN_EVENT, field="when.event")
    line = new_event(event, point)
    if event == DrawEvent.RESULT_ABOVE:
        watched, analyte = form.head.get("when.watched", ""), form.head.get("when.analyte", "")
        if watched not in desk.watched:
            raise RecordError("not_a_point", PICK_A_POINT, field="when.watched")
        if analyte not in BASES:
            raise RecordError("unknown_analyte", UNKNOWN_ANALYTE, field="when.analyte")
        line = watching(desk.plant, line, watched, analyte, ANALYTES[analyte].unit)
    form.add_event(line)


def fitting_sets(boiler: Boiler) -> list[LimitSet]:
    """Return the sets made for a boiler's kind."""
    return [each for each in limit_sets() if each.fits(boiler.kind, boiler.superheater)]


def set_name(each: LimitSet, boiler: Boiler) -> str:
    """Return the text by which the form names a set, for the pressure of a boiler."""
    return f"{each.key}@{boiler.pk}"


def _lay(form: ProgramForm, desk: Desk) -> Laid:
    key, _, owner = form.head.get("set", "").partition("@")
    chosen = set_of(key)
    boiler = next((each for each in desk.boilers if str(each.pk) == owner), None)
    if chosen is None or boiler is None or chosen not in fitting_sets(boiler):
        raise RecordError("not_a_set", PICK_A_SET, field="set")
    added, beside, known = [], [], set()
    for (point, state, analyte), lines in _by_place(chosen, boiler, desk).items():
        known.add(analyte)
        number = form.limit_of(point, state, analyte)
        if number is None:
            refuse_more(form)
            added.append(analyte)
            _propose(form, desk, point, state, chosen, lines)
        else:
            beside.append(analyte)
            _lay_beside(form.limits[number], chosen, lines)
    kinds = {point.kind for point in desk.points.values()}
    about = dict.fromkeys(line.analyte for line in chosen.lines if line.sample_kind in kinds)
    return Laid(
        chosen=chosen,
        boiler=boiler,
        added=tuple(dict.fromkeys(added)),
        beside=tuple(dict.fromkeys(beside)),
        silent=tuple(analyte for analyte in about if analyte not in known),
    )


def _by_place(
    chosen: LimitSet, boiler: Boiler, desk: Desk
) -> dict[tuple[str, str, str], list[LimitLine]]:
    """Return a set's lines at a boiler's rated pressure, by point, state and analyte."""
    found: dict[tuple[str, str, str], list[LimitLine]] = {}
    for pk, point in desk.points.items():
        for line in chosen.lines_at(boiler.rated_psig, sample_kind=point.kind):
            found.setdefault((pk, line.state, line.analyte), []).append(line)
    return found


def _propose(
    form: ProgramForm,
    desk: Desk,
    point: str,
    state: str,
    chosen: LimitSet,
    lines: Sequence[LimitLine],
) -> None:
    """Add a limit with a set's figures; where the chemist must choose among several, or say
    whether a condition holds, they stand beside an empty one."""
    first = lines[0]
    line = new_limit(desk.plant, point, state, what(first.analyte, first.basis.text), first.unit)
    if len(lines) == 1 and not first.condition:
        take(line, reference_to(chosen, first))
    else:
        _lay_beside(line, chosen, lines)
    form.add_limit(line)


def _lay_beside(line: Line, chosen: LimitSet, lines: Sequence[LimitLine]) -> None:
    before = line.get("beside", "").split()
    new = [reference_to(chosen, each) for each in lines]
    line["beside"] = " ".join(dict.fromkeys([*before, *new]))


def take(line: Line, reference: str) -> None:
    """Write a set's figures, source and certainty into a limit; its target and guard band stay, in
    the set's unit."""
    published = line_of(reference)
    if published is None or published.analyte != line.get("what", "").partition("~")[0]:
        return
    chosen = set_of(reference.partition(":")[0])
    ends = {"low": published.low, "high": published.high}
    for key in ("target", "guard_band"):
        line[key] = _in_unit(line.get(key, ""), line.get("unit", ""), published.unit, key)
    line |= {key: "" if end is None else f"{end:g}" for key, end in ends.items()}
    line |= {
        "what": what(published.analyte, published.basis.text),
        "unit": published.unit,
        "source": _source(published, chosen) if chosen else "",
        "confidence": published.kind,
        "note": ": ".join(filter(None, (published.condition, published.note)))[:_LONGEST_NOTE],
        "of": reference,
        "confirmed": "",
    }


def _in_unit(typed: str, unit: str, wanted: str, key: str) -> str:
    """Return a figure in another unit; what can't be read stays as it was typed."""
    if unit == wanted or not typed.strip():
        return typed
    try:
        figure, known = parse_number(typed), units.unit_key(unit)
        if key == "guard_band":
            return f"{units.convert_step(figure.value, known, wanted):.6g}"
        return words.in_unit(figure.normalized, known, wanted)
    except EntryError:
        return typed


def _source(published: LimitLine, chosen: LimitSet) -> str:
    """Return where a line stands, else where its set stands, as far as a limit can keep it."""
    told = (published.source, chosen.source, chosen.title)
    return next((text for text in told if 0 < len(text) <= _LONGEST_SOURCE), "")


def first_form(desk: Desk) -> ProgramForm:
    """Return the form of a program's first version: for boiler water a limit of conductivity to be
    filled in, and a test of it every four hours."""
    form = ProgramForm()
    for key, point in desk.points.items():
        if point.kind == SampleKind.BOILER_WATER:
            form.add_limit(new_limit(desk.plant, key, State.STEAMING, *_CONDUCTIVITY))
            times = {"times": EVERY_FOUR_HOURS, "test.conductivity": "on"}
            form.add_line({**new_line(key, State.STEAMING), **times})
    return form
