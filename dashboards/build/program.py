"""A program as it is read: what is in force, where it comes from, what each version changed."""

from collections.abc import Sequence

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from chemistry import methods
from chemistry.analytes import ANALYTES
from dashboards import words
from dashboards.build.event_words import draw_happening, event_lines, times_words
from dashboards.build.program_words import (
    place_words,
    program_about,
    program_name,
    rule_words,
    schedule_words,
    span_words,
)
from dashboards.build.results import analyte_name, basis_words
from dashboards.screens.program import (
    ChangeRow,
    LimitLine,
    LimitPlace,
    ProgramChangesScreen,
    ProgramScreen,
    VersionView,
)
from dashboards.screens.results import Strip
from records import clock
from records.actors import Actor
from records.models import Limit, Plant, Program, ProgramVersion
from records.permissions import Deed
from records.selectors.program_changes import Change, How, changes_of
from records.selectors.programs import (
    event_draws_of,
    limits_of,
    schedule_of,
    version_in_force,
    versions_of,
)

HOW_WORDS: dict[str, str] = {
    How.ADDED: gettext_noop("added"),
    How.TAKEN_OUT: gettext_noop("taken out"),
    How.CHANGED: gettext_noop("changed"),
}
FIELD_WORDS: dict[str, str] = {
    "target": gettext_noop("target"),
    "guard_band": gettext_noop("guard band"),
    "basis": gettext_noop("basis"),
    "source": gettext_noop("source"),
    "confidence": gettext_noop("how sure it is"),
    "note": gettext_noop("note"),
}
_RANGE = {"low", "high", "unit"}


def program_screen(actor: Actor, program: Program) -> ProgramScreen:
    """Return a program with the version in force in full and all versions by number."""
    plant, now = actor.plant, clock.now()
    current = version_in_force(program, now)
    return ProgramScreen(
        plant_id=str(plant.pk),
        program_id=str(program.pk),
        boiler_name=program_name(program),
        about=program_about(program),
        current=_version(plant, current, current) if current else None,
        places=_places(plant, limits_of(current)) if current else (),
        versions=tuple(_version(plant, each, current) for each in versions_of(program)),
        schedule=schedule_words(schedule_of(current)) if current else (),
        events=event_lines(event_draws_of(current)) if current else (),
        can_change=actor.may(Deed.SET_PROGRAM),
    )


def _version(plant: Plant, version: ProgramVersion, current: ProgramVersion | None) -> VersionView:
    if version == current:
        standing = _("in force")
    else:
        standing = _("not yet in force") if version.in_force_from > clock.now() else ""
    return VersionView(
        version_id=str(version.pk),
        number=str(version.number),
        in_force_text=_("in force from %(at)s")
        % {"at": words.moment(plant, version.in_force_from)},
        recorded_text=words.moment(plant, version.recorded_at),
        by=version.by_name,
        note=version.note,
        standing=standing,
    )


def _places(plant: Plant, rows: Sequence[Limit]) -> tuple[LimitPlace, ...]:
    """Return limits by sample point and state, in the order in which they come."""
    found: dict[str, list[LimitLine]] = {}
    for row in rows:
        found.setdefault(place_words(row.sample_point, row.state), []).append(_line(plant, row))
    return tuple(LimitPlace(title=title, lines=tuple(lines)) for title, lines in found.items())


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
    label = words.unit_label(unit)
    guard = _("guard band %(width)s %(unit)s")
    return LimitLine(
        analyte=analyte_name(row.analyte),
        limit_text=f"{span_words(ends['low'], ends['high'])} {label}"
        if known
        else _("no limit known"),
        target_text=ends["target"],
        unit=label,
        basis_words=basis_words(row.basis),
        source=row.source,
        confidence=row.confidence,
        guard_text=guard % {"width": row.guard_band, "unit": words.unit_label(row.unit)}
        if row.guard_band
        else "",
        strip=strip if known else None,
        note=row.note,
    )


def changes_screen(actor: Actor, version: ProgramVersion) -> ProgramChangesScreen:
    """Return one version: what it changed against the one before, then all that it says."""
    plant, program = actor.plant, version.program
    found = changes_of(version)
    earlier = found.earlier
    told = _("Compared with version %(number)s, in force from %(at)s.")
    return ProgramChangesScreen(
        plant_id=str(plant.pk),
        program_id=str(program.pk),
        boiler_name=program_name(program),
        version=_version(plant, version, version_in_force(program, clock.now())),
        earlier_text=told
        % {"number": earlier.number, "at": words.moment(plant, earlier.in_force_from)}
        if earlier
        else "",
        limits=tuple(_limit_change(each) for each in found.limits) if earlier else (),
        tests=tuple(_test_change(each) for each in found.schedule) if earlier else (),
        places=_places(plant, limits_of(version)),
        schedule=schedule_words(schedule_of(version)),
        draws=tuple(_draw_change(each) for each in found.events) if earlier else (),
        events=event_lines(event_draws_of(version)),
    )


def _limit_change(change: Change) -> ChangeRow:
    row = change.after or change.before
    if change.how is not How.CHANGED:
        details = [_own_range(row)]
    else:
        was, now = change.before, change.after
        details = (
            [_from_to("", _own_range(was), _own_range(now))] if _RANGE & set(change.fields) else []
        )
        details += [
            _from_to(_(FIELD_WORDS[key]), _told(was, key), _told(now, key))
            for key in change.fields
            if key not in _RANGE
        ]
    return ChangeRow(
        place=place_words(row.sample_point, row.state),
        what=analyte_name(row.analyte),
        how=_(HOW_WORDS[change.how]),
        details=tuple(details),
    )


def _own_range(row: Limit) -> str:
    """Return a limit in the unit in which it was written."""
    span = span_words(row.low, row.high)
    return f"{span} {words.unit_label(row.unit)}" if span else _("no limit known")


def _told(row: Limit, key: str) -> str:
    return ", ".join(basis_words(row.basis)) if key == "basis" else str(getattr(row, key))


def _from_to(name: str, before: str, after: str) -> str:
    ends = {"before": before or _("none"), "after": after or _("none")}
    told = _("%(before)s → %(after)s") % ends
    return f"{name}: {told}" if name else told


def _test_change(change: Change) -> ChangeRow:
    row = change.after or change.before
    details = [rule_words(row.recurrence)]
    if change.how is How.CHANGED:
        was, now = change.before, change.after
        details = []
        if "recurrence" in change.fields:
            details.append(_from_to("", rule_words(was.recurrence), rule_words(now.recurrence)))
        if "grace_minutes" in change.fields:
            late = (_("%(count)s min") % {"count": each.grace_minutes} for each in (was, now))
            details.append(_from_to(_("may be late by"), *late))
    return ChangeRow(
        place=place_words(row.sample_point, row.state),
        what=_(methods.latest(row.method).name),
        how=_(HOW_WORDS[change.how]),
        details=tuple(details),
    )


def _draw_change(change: Change) -> ChangeRow:
    row = change.after or change.before
    details = [times_words(row.minutes_after, row.grace_minutes)]
    if change.how is How.CHANGED:
        was, now, details = change.before, change.after, []
        if "trigger" in change.fields:
            details.append(_from_to("", draw_happening(was), draw_happening(now)))
        if "times" in change.fields:
            late = (times_words(each.minutes_after, each.grace_minutes) for each in (was, now))
            details.append(_from_to("", *late))
        if "source" in change.fields:
            details.append(_from_to(_(FIELD_WORDS["source"]), was.source, now.source))
    return ChangeRow(
        place=place_words(row.sample_point, row.state),
        what=f"{draw_happening(row)}: {_(methods.latest(row.method).name)}",
        how=_(HOW_WORDS[change.how]),
        details=tuple(details),
    )
