"""All plants of a person, and the desk of one."""

from collections.abc import Iterable
from datetime import timedelta

from django.utils import formats
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext
from django_scopes import scope

from chemistry.remedy import STEERS_BY
from chemistry.verdict import Side
from dashboards import words
from dashboards.build.boiler_troubles import boiler_troubles
from dashboards.build.results import stand_view
from dashboards.build.sheet_marks import amendment_text
from dashboards.build.sheets import follow_up_view, sheet_rows
from dashboards.build.untested import missed_rows
from dashboards.screens.plants import (
    BoilerRow,
    DeskScreen,
    OpenResult,
    PlantRow,
    PlantsScreen,
    WaitingAmendment,
)
from records import clock
from records.access import actor_at, plants_of
from records.actors import Actor
from records.models import Boiler, BoilerState, FollowUp, Plant, Program, ProgramVersion, User
from records.permissions import Deed
from records.selectors.doubts import failed_words
from records.selectors.look_backs import open_look_backs
from records.selectors.programs import programs_at
from records.selectors.results import ResultStand, latest_by_point
from records.selectors.rounds import (
    Due,
    SlotStand,
    StateHistory,
    VersionsInForce,
    boilers_of,
    open_follow_ups,
    overdue_at,
    slots_for_round,
)
from records.selectors.sheet_pages import (
    amendments_waiting,
    sheets_not_handed_in,
    sheets_to_sign,
)

# How far back the newest result of a point still speaks for the water: rule of our own.
FRESH = timedelta(days=7)
# How far back the desk shows what was missed: rule of our own.
MISSED_SPAN = timedelta(days=2)
NOTHING_OWED = gettext_noop("Nothing is owed for it: see what was done.")


def plants_screen(user: User) -> PlantsScreen:
    """Return every plant of a person at a glance, the ones in trouble first."""
    plants = plants_of(user)
    rows = [_plant_row(actor_at(user, plant.pk)) for plant in plants]
    rows.sort(key=_trouble)
    names = dict.fromkeys(plant.organization.name for plant in plants)
    now = formats.date_format(clock.now(), "D j M Y, H:i") + " UTC"
    return PlantsScreen(organization_name=", ".join(names), now_text=now, rows=tuple(rows))


def _trouble(row: PlantRow) -> tuple[object, ...]:
    sheets = row.sheets_waiting + row.sheets_not_handed_in
    return (-row.out_of_range, -row.overdue, -row.doubts, -sheets, row.name)


def first_page(actor: Actor) -> str:
    """Return the name of the page where an actor's work at a plant begins."""
    if actor.may(Deed.SIGN):
        return "plant"
    return "round" if actor.may(Deed.TEST) else "plant-setup"


def _plant_row(actor: Actor) -> PlantRow:
    plant, page = actor.plant, first_page(actor)
    if not actor.may(Deed.SEE):
        return PlantRow(plant_id=str(plant.pk), name=plant.name, page=page, sees=False)
    with scope(plant=plant):
        return _glance(plant, page)


def _glance(plant: Plant, page: str) -> PlantRow:
    now = clock.now()
    latest = list(latest_by_point(plant, now - FRESH).values())
    overdue = overdue_at(plant, now=now, since=now - timedelta(hours=24))
    boilers = boilers_of(plant)
    newest = max((s.sample.drawn_at for s in latest), default=None)
    troubles = boiler_troubles(plant, boilers, latest, overdue)
    named = {trouble.name for trouble in troubles}
    count = ngettext("%(n)s boiler", "%(n)s boilers", len(boilers)) % {"n": len(boilers)}
    return PlantRow(
        plant_id=str(plant.pk),
        name=plant.name,
        page=page,
        boilers_text=count,
        kind=_kinds(boilers),
        out_of_range=sum(stand.out_of_range for stand in latest),
        overdue=len(overdue),
        doubts=sum(bool(stand.doubts) for stand in latest),
        sheets_waiting=len(sheets_to_sign(plant)),
        sheets_not_handed_in=len(sheets_not_handed_in(plant)),
        follow_ups=len(open_follow_ups(plant)),
        last_text=words.moment(plant, newest) if newest else _("none in a week"),
        troubles=troubles,
        in_order=tuple(each.name for each in boilers if each.name not in named),
    )


def _kinds(boilers: Iterable[Boiler]) -> str:
    return ", ".join(dict.fromkeys(str(boiler.get_kind_display()) for boiler in boilers))


def desk_screen(actor: Actor) -> DeskScreen:
    """Return what waits at one plant for its supervisor or chemist."""
    plant, now = actor.plant, clock.now()
    latest = latest_by_point(plant, now - FRESH)
    boilers, missed, owed = boilers_of(plant), _missed(plant), open_follow_ups(plant)
    return DeskScreen(
        plant_id=str(plant.pk),
        plant_name=plant.name,
        kind=plant.organization.name,
        now_text=words.moment(plant, now),
        to_sign=sheet_rows(actor, sheets_to_sign(plant)),
        not_handed_in=sheet_rows(actor, sheets_not_handed_in(plant)),
        amendments=tuple(
            WaitingAmendment(
                sheet_id=str(amendment.sheet_id),
                text=amendment_text(plant, amendment),
                by=amendment.by_name,
                at_text=words.time_of(plant, amendment.at),
                mine=amendment.by_id == actor.user_id,
            )
            for amendment in amendments_waiting(plant)
        ),
        open_results=open_results(plant, latest.values(), owed),
        doubts=tuple(_open(plant, s) for s in latest.values() if s.doubts),
        look_backs=tuple((str(b.pk), failed_words(b)) for b in open_look_backs(plant)),
        follow_ups=tuple(follow_up_view(plant, f) for f in owed),
        missed=missed_rows(plant, missed, asks=actor.may(Deed.TEST)),
        missed_count=len(missed),
        boilers=tuple(_boiler_rows(plant, boilers, list(latest.values()))),
        can_manage_people=actor.may(Deed.MANAGE_PEOPLE),
        can_see_round=actor.may(Deed.TEST),
    )


def open_results(
    plant: Plant, latest: Iterable[ResultStand], owed: Iterable[FollowUp]
) -> tuple[OpenResult, ...]:
    """Return the newest results that are out of range, each with what is owed for it."""
    by_result: dict[object, list[str]] = {}
    for each in owed:
        view = follow_up_view(plant, each)
        told = _("%(what)s, due %(at)s") % {"what": view.act, "at": view.due_text}
        by_result.setdefault(each.result_id, []).append(told)
    return tuple(
        _open(plant, stand, "; ".join(by_result.get(stand.result.pk, [])) or _(NOTHING_OWED))
        for stand in latest
        if stand.out_of_range
    )


def _open(plant: Plant, stand: ResultStand, owed: str = "") -> OpenResult:
    boiler_name, point_name = words.place(stand.sample.sample_point)
    return OpenResult(
        sample_id=str(stand.sample.pk),
        boiler_name=boiler_name,
        point_name=point_name,
        drawn_text=words.time_of(plant, stand.sample.drawn_at),
        result=stand_view(plant, stand),
        next_text=owed,
    )


def _missed(plant: Plant) -> list[SlotStand]:
    now, since = clock.now(), clock.now() - MISSED_SPAN
    stands = slots_for_round(plant, now=now, early=now, since=since, until=now, in_grace=True)
    return [stand for stand in stands if stand.due is Due.MISSED]


def _boiler_rows(
    plant: Plant, boilers: Iterable[Boiler], latest: list[ResultStand]
) -> list[BoilerRow]:
    states, versions = StateHistory(plant), VersionsInForce(plant)
    programs = {program.boiler_id: program for program in programs_at(plant)}
    return [
        _boiler_row(
            plant,
            boiler,
            states.entry(boiler, clock.now()),
            (program := programs.get(boiler.pk)),
            versions.at(program.pk, clock.now()) if program else None,
            _newest_of(boiler, latest),
        )
        for boiler in boilers
    ]


def _newest_of(boiler: Boiler, latest: list[ResultStand]) -> ResultStand | None:
    """Return the newest result of a boiler; of one sample's, what is out of range, then what is
    judged, then the conductivity."""
    own = [s for s in latest if s.sample.sample_point.boiler_id == boiler.pk]
    return max(own, key=_told_first, default=None)


def _told_first(stand: ResultStand) -> tuple[object, ...]:
    judged = stand.side is not Side.NOT_JUDGED
    steers = stand.result.analyte == STEERS_BY
    return (stand.sample.drawn_at, stand.out_of_range, judged, steers)


def _boiler_row(
    plant: Plant,
    boiler: Boiler,
    entry: BoilerState | None,
    program: Program | None,
    version: ProgramVersion | None,
    stand: ResultStand | None,
) -> BoilerRow:
    since = _("since %(at)s") % {"at": words.time_of(plant, entry.since)} if entry else ""
    number = version.number if version else 0
    return BoilerRow(
        boiler_id=str(boiler.pk),
        name=boiler.name,
        kind=str(boiler.get_kind_display()),
        pressure_text=words.boiler_pressure(plant, boiler),
        state_word=words.state_word(entry.state) if entry else "",
        state_since=since,
        program_id=str(program.pk) if program else "",
        program_text=_("version %(n)s in force") % {"n": number} if number else _("none in force"),
        latest=stand_view(plant, stand) if stand else None,
        latest_text=words.time_of(plant, stand.sample.drawn_at) if stand else "",
        sample_id=str(stand.sample.pk) if stand else "",
    )
