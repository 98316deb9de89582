"""What other limits would have judged of the last weeks, in words and counts."""

from collections.abc import Mapping

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from chemistry.verdict import SIDE_WORDS, Side
from dashboards import words
from dashboards.build.program_words import point_words
from dashboards.build.results import analyte_name
from dashboards.screens.program_edit import LookView, OtherwiseRow, TallyRow
from records.models import Plant, SamplePoint
from records.selectors.preview import Otherwise, Preview, Tally

# The longest list of single results on the page: rule of our own.
MOST_ROWS = 60


def look_view(plant: Plant, points: Mapping[str, SamplePoint], found: Preview) -> LookView:
    """Return what other limits would have judged, the newest draw first."""
    total = sum(tally.results for tally in found.tallies.values())
    changed = len(found.otherwise)
    tallies = sorted(found.tallies.items(), key=lambda each: -sum(each[1].changed.values()))
    rest = changed - MOST_ROWS
    since = words.moment(plant, found.since)
    told = _("%(changed)s of %(total)s results since %(since)s would have been judged otherwise.")
    return LookView(
        since_text=since,
        summary=told % {"changed": changed, "total": total, "since": since},
        tallies=tuple(
            _tally(points[str(point)], analyte, tally) for (point, analyte), tally in tallies
        ),
        rows=tuple(_row(plant, points, each) for each in found.otherwise[:MOST_ROWS]),
        more_text=_("and %(count)s more, older ones") % {"count": rest} if rest > 0 else "",
        doubt_text=_doubt(found.in_doubt),
    )


def _doubt(count: int) -> str:
    if not count:
        return ""
    told = ngettext(
        "%(count)s result in doubt is left out: no limit decides about it.",
        "%(count)s results in doubt are left out: no limit decides about them.",
        count,
    )
    return told % {"count": count}


def _tally(point: SamplePoint, analyte: str, tally: Tally) -> TallyRow:
    changed = sum(tally.changed.values())
    return TallyRow(
        place=point_words(point),
        analyte=analyte_name(analyte),
        count_text=_("%(changed)s of %(total)s") % {"changed": changed, "total": tally.results},
        changes=tuple(
            _("%(count)s: %(before)s, would be %(after)s")
            % {"count": count, "before": _side(before), "after": _side(after)}
            for (before, after), count in tally.changed.most_common()
        ),
    )


def _side(side: Side) -> str:
    return _(SIDE_WORDS[side]).lower()


def _row(plant: Plant, points: Mapping[str, SamplePoint], each: Otherwise) -> OtherwiseRow:
    shown = words.plant_unit(plant, each.unit)
    figure = words.in_unit(each.value, each.unit, shown)
    return OtherwiseRow(
        when=words.moment(plant, each.drawn_at),
        place=point_words(points[str(each.point_id)]),
        analyte=analyte_name(each.analyte),
        value=f"{each.qualifier}{figure} {words.unit_label(shown)}",
        before=_(SIDE_WORDS[each.before]),
        after=_(SIDE_WORDS[each.after]),
    )
