"""A boiler's program: what is in force, where it comes from, and writing a new version."""

from collections.abc import Mapping, Sequence
from datetime import timedelta

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from chemistry import methods
from chemistry.analytes import ANALYTES
from chemistry.limit_sets import LimitLine as PublishedLine
from chemistry.limit_sets import LimitSet
from dashboards import words
from dashboards.build.forms import text_field
from dashboards.build.results import analyte_name, basis_words, limit_words
from dashboards.screens.program import (
    LimitLine,
    LineForm,
    ProgramScreen,
    ProgramVersionScreen,
    PublishedSet,
    SetLine,
    VersionView,
)
from dashboards.screens.results import Strip
from records import clock
from records.actors import Actor
from records.limit_library import limit_sets
from records.models import Boiler, Limit, Plant, Program, ProgramVersion, SamplePoint, ScheduleLine
from records.permissions import Deed
from records.selectors.programs import (
    limits_of,
    schedule_of,
    version_in_force,
    versions_of,
)
from records.selectors.rounds import points_of

# What a boiler program limits here; the other tests bring theirs.
ANALYTE, METHOD, STATE = "conductivity", "conductivity", "steaming"
BASIS = "25C|not_neutralized|"
NONE_KNOWN = gettext_noop(
    "This set knows no limit at this pressure. None is guessed: results stay “not judged”."
)
DAILY = gettext_noop("%(point)s, %(test)s: %(rule)s while %(state)s")


def program_screen(actor: Actor, program: Program) -> ProgramScreen:
    """Return the program of one boiler, with its versions apart by whether they hold now."""
    plant, now = actor.plant, clock.now()
    current = version_in_force(program, now)
    versions = versions_of(program)
    coming = [v for v in versions if v.in_force_from > now]
    older = [v for v in versions if v.in_force_from <= now and current and v.pk != current.pk]
    return ProgramScreen(
        plant_id=str(plant.pk),
        program_id=str(program.pk),
        boiler_name=program.boiler.name if program.boiler else program.name,
        pressure_text=words.boiler_pressure(plant, program.boiler),
        treatment=program.boiler.treatment if program.boiler else "",
        current=_version(plant, current) if current else None,
        coming=tuple(_version(plant, v) for v in coming),
        older=tuple(_version(plant, v) for v in older),
        schedule=tuple(_scheduled(line) for line in schedule_of(current)) if current else (),
        can_change=actor.may(Deed.SET_PROGRAM) and program.boiler is not None,
    )


def _version(plant: Plant, version: ProgramVersion) -> VersionView:
    since = _("in force from %(at)s") % {"at": words.moment(plant, version.in_force_from)}
    return VersionView(
        number=str(version.number),
        in_force_text=since,
        recorded_text=words.moment(plant, version.recorded_at),
        by=version.by_name,
        note=version.note,
        lines=tuple(_line(plant, row) for row in limits_of(version)),
    )


def _line(plant: Plant, row: Limit) -> LimitLine:
    unit = words.plant_unit(plant, ANALYTES[row.analyte].unit)
    ends = {
        key: words.in_unit(getattr(row, key), row.unit, unit) for key in ("low", "high", "target")
    }
    known = bool(ends["low"] or ends["high"])
    strip = Strip(
        value=None,
        low=float(ends["low"]) if ends["low"] else None,
        high=float(ends["high"]) if ends["high"] else None,
        target=float(ends["target"]) if ends["target"] else None,
        low_text=ends["low"],
        high_text=ends["high"],
        target_text=ends["target"],
    )
    return LimitLine(
        analyte=analyte_name(row.analyte),
        point_name=", ".join(dict.fromkeys(words.place(row.sample_point))),
        limit_text=limit_words(row, plant) if known else _("no limit known"),
        target_text=ends["target"],
        unit=words.unit_label(unit),
        basis_words=basis_words(row.basis),
        source=row.source,
        confidence=row.confidence,
        strip=strip if known else None,
        note=row.note,
    )


def _scheduled(line: ScheduleLine) -> str:
    return _(DAILY) % {
        "point": ", ".join(dict.fromkeys(words.place(line.sample_point))),
        "test": _(methods.latest(line.method).name),
        "rule": _times(line.recurrence),
        "state": words.state_word(line.state).lower(),
    }


def _times(recurrence: str) -> str:
    """Return a daily recurrence as its times; any other one stays as the standard writes it."""
    parts = dict(part.split("=", 1) for part in recurrence.split(";") if "=" in part)
    if parts.get("FREQ") != "DAILY" or "BYHOUR" not in parts:
        return recurrence
    minute = int(parts.get("BYMINUTE", "0"))
    hours = ", ".join(f"{int(hour):02d}:{minute:02d}" for hour in parts["BYHOUR"].split(","))
    return _("every day at %(hours)s") % {"hours": hours}


def version_screen(
    actor: Actor,
    program: Program,
    boiler: Boiler,
    *,
    posted: Mapping[str, str],
    errors: Mapping[str, str],
    key: str,
) -> ProgramVersionScreen:
    """Return the form of a new version, beside what the published sets say at this pressure."""
    plant = actor.plant
    before = version_in_force(program, clock.now())
    row = next((r for r in limits_of(before) if r.analyte == ANALYTE), None) if before else None
    soon = words.for_input(plant, clock.now() + timedelta(minutes=5))
    return ProgramVersionScreen(
        plant_id=str(plant.pk),
        program_id=str(program.pk),
        boiler_name=boiler.name,
        boiler_kind=str(boiler.get_kind_display()),
        pressure_text=words.boiler_pressure(plant, boiler),
        sets=tuple(_published(each, boiler) for each in limit_sets()),
        lines=(_line_form(plant, boiler, row, posted, errors),),
        others=(
            text_field(
                "in_force_from",
                _("In force from"),
                posted,
                kind="datetime-local",
                value=soon,
                required=True,
                error=errors.get("in_force_from", ""),
            ),
            text_field("note", _("Why it changes"), posted, error=errors.get("note", "")),
        ),
        key=key,
        errors=tuple(text for field, text in errors.items() if not field),
    )


def _line_form(
    plant: Plant,
    boiler: Boiler,
    row: Limit | None,
    posted: Mapping[str, str],
    errors: Mapping[str, str],
) -> LineForm:
    unit = words.unit_label(words.plant_unit(plant, ANALYTES[ANALYTE].unit))

    def field(key: str, label: str) -> object:
        value = getattr(row, key) if row else ""
        return text_field(
            key, label, posted, kind="number", value=value, unit=unit, error=errors.get(key, "")
        )

    return LineForm(
        analyte=analyte_name(ANALYTE),
        point_name=boiler_point(plant, boiler).name,
        unit=unit,
        basis_words=basis_words(BASIS),
        low=field("low", _("At least")),  # type: ignore[arg-type]
        high=field("high", _("At most")),  # type: ignore[arg-type]
        target=field("target", _("Target")),  # type: ignore[arg-type]
        source=text_field(
            "source",
            _("Source of this limit"),
            posted,
            value=row.source if row else "",
            help=_("The document, year and table, or who decided it for this plant."),
            required=True,
            error=errors.get("source", ""),
        ),
    )


def boiler_point(plant: Plant, boiler: Boiler) -> SamplePoint:
    """Return the sample point of a boiler's own water."""
    return next(point for point in points_of(plant) if point.boiler_id == boiler.pk)


def _published(each: LimitSet, boiler: Boiler) -> PublishedSet:
    line = each.limit_at(ANALYTE, "boiler_water", boiler.rated_psig)
    return PublishedSet(
        key=each.key,
        title=_(each.title),
        source=each.source,
        edition="" if each.edition == "none" else each.edition,
        confidence=each.confidence,
        lines=(_set_line(line),),
        must_confirm=line is not None and line.kind == "from memory",
    )


def _set_line(line: PublishedLine | None) -> SetLine:
    name = analyte_name(ANALYTE)
    if line is None:
        return SetLine(analyte=name, limit_text="", unit="", none_words=_(NONE_KNOWN))
    if line.choose_within:
        low, high = line.choose_within
        told = _("a maximum between %(low)s and %(high)s, set by steam purity")
        text = told % {"low": f"{low:g}", "high": f"{high:g}"}
    else:
        text = _("at most %(high)s") % {"high": f"{line.high:g}"}
    return SetLine(
        analyte=name,
        limit_text=text,
        unit=words.unit_label(line.unit),
        basis_words=basis_words(line.basis.text),
        note=line.note,
    )


def kept_schedule(version: ProgramVersion | None) -> Sequence[ScheduleLine]:
    """Return the schedule that a new version takes over from the one in force."""
    return schedule_of(version) if version else ()
