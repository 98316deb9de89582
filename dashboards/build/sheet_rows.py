"""The results of a log sheet: by boiler and point, and those that its reader must see first."""

from collections.abc import Sequence

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from chemistry import methods
from chemistry.verdict import Side
from dashboards import words
from dashboards.build.results import corrections_of, raw_of, stand_view
from dashboards.screens.sheets import Corrected, ResultGroup, ResultRow
from records.actors import Actor
from records.models import SamplePoint
from records.permissions import Deed
from records.selectors.results import ResultStand
from records.shifts import local

OUT, DOUBT, NEAR, NOT_JUDGED, FINE, NO_LIMIT = "out", "doubt", "near", "not-judged", "fine", "none"
# In the order in which they are read. What has no limit is told in one sentence.
GROUPS = {
    OUT: gettext_noop("Out of range"),
    DOUBT: gettext_noop("In doubt"),
    NEAR: gettext_noop("Near a limit"),
    NOT_JUDGED: gettext_noop("Not judged"),
}


def group_of(stand: ResultStand) -> str:
    """Return under which heading of the exceptions a result stands; a doubt comes before all."""
    if stand.doubts:
        return DOUBT
    if stand.out_of_range:
        return OUT
    if stand.verdict.near_limit:
        return NEAR
    if stand.side is not Side.NOT_JUDGED:
        return FINE
    return NO_LIMIT if stand.verdict.reason == "no_limit" else NOT_JUDGED


class SheetRows:
    """The rows of one sheet's results that count, each made once."""

    def __init__(self, actor: Actor, stands: Sequence[ResultStand], *, signed: bool) -> None:
        self._stands = sorted((s for s in stands if s.current), key=_by_place)
        self._rows = {s.result.pk: _row(actor, s, stands, signed=signed) for s in self._stands}

    @property
    def all(self) -> tuple[ResultRow, ...]:
        return tuple(self._rows[stand.result.pk] for stand in self._stands)

    def by_place(self) -> tuple[ResultGroup, ...]:
        """Return all results under the name of their boiler and point."""
        groups: dict[tuple[str, ...], list[ResultRow]] = {}
        for stand in self._stands:
            point = stand.sample.sample_point
            place = tuple(dict.fromkeys(words.place(point)))
            groups.setdefault(place, []).append(self._rows[stand.result.pk])
        return tuple(
            ResultGroup(key=f"place-{number}", title=", ".join(place), rows=tuple(rows))
            for number, (place, rows) in enumerate(groups.items())
        )

    def exceptions(self) -> tuple[ResultGroup, ...]:
        """Return the results that come first, under what is the matter with them."""
        found = [(key, self._in(key)) for key in GROUPS]
        return tuple(
            ResultGroup(key=key, title=_(GROUPS[key]), rows=rows) for key, rows in found if rows
        )

    def without_limit(self) -> tuple[str, ...]:
        """Return the names of the tests that no limit judges, each with its place."""
        return tuple(
            dict.fromkeys(f"{row.boiler_name}, {row.result.name}" for row in self._in(NO_LIMIT))
        )

    def corrected(self) -> tuple[Corrected, ...]:
        """Return what was corrected before the sheet was signed, or amended after it."""
        return tuple(
            Corrected(
                drawn_text=row.drawn_text,
                boiler_name=row.boiler_name,
                test_name=row.result.name,
                new_text=f"{row.result.qualifier}{row.result.value_text} {row.result.unit}",
                old=old,
            )
            for row in self.all
            for old in row.corrections
        )

    def late(self) -> tuple[ResultRow, ...]:
        """Return the first result of each sample that was entered late."""
        first = {row.sample_id: row for row in reversed(self.all) if row.late_mark}
        return tuple(reversed(first.values()))

    def _in(self, key: str) -> tuple[ResultRow, ...]:
        return tuple(self._rows[s.result.pk] for s in self._stands if group_of(s) == key)


def _by_place(stand: ResultStand) -> tuple[object, ...]:
    point: SamplePoint = stand.sample.sample_point
    boiler = point.boiler.name if point.boiler else ""
    drawn = stand.sample.drawn_at
    return (not boiler, boiler, point.position, point.name, drawn, str(stand.result.pk))


def _row(
    actor: Actor, stand: ResultStand, every: Sequence[ResultStand], *, signed: bool
) -> ResultRow:
    sample = stand.sample
    boiler_name, point_name = words.place(sample.sample_point)
    allowed = actor.may(Deed.AMEND if signed else Deed.CORRECT)
    method = methods.get(stand.measurement.method, stand.measurement.method_version)
    late = ""
    if sample.late:
        at = words.time_of(actor.plant, sample.entered_at)
        late = _("entered late, %(at)s") % {"at": at}
    return ResultRow(
        measurement_id=str(stand.measurement.pk),
        sample_id=str(sample.pk),
        drawn_text=local(actor.plant, sample.drawn_at).strftime("%H:%M"),
        boiler_name=boiler_name,
        point_name=point_name,
        test_name=_(method.name),
        raw=raw_of(stand.measurement),
        result=stand_view(actor.plant, stand),
        tester_name=stand.measurement.by_name,
        late_mark=late,
        corrections=corrections_of(actor.plant, stand, every),
        correct_word=(_("Amend") if signed else _("Correct")) if allowed else "",
    )
