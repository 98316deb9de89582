"""What changed in a boiler's water and what may explain it, in words."""

from collections.abc import Mapping, Sequence

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from chemistry import ingress_words
from chemistry.analytes import ANALYTES
from chemistry.errors import ChemistryError
from chemistry.ingress import Change, Explanation
from chemistry.ingress_sources import Source
from chemistry.ingress_telling import Telling
from dashboards import words
from dashboards.build.boiler_answers import figure
from dashboards.build.results import analyte_name
from dashboards.screens.boiler import CauseView, DriftView
from records.models import Plant
from records.selectors.drifts import drift_of, explained
from records.selectors.results import ResultStand

NOTHING = gettext_noop("Nothing got in")
NOT_WEIGHED = gettext_noop(
    "Cooling water, raw water and brine are not weighed: the plant has no analysis of them on "
    "record. Where hardness or chloride rises, call first."
)
# Quantities that a laboratory finds and no bench test here does.
_LABORATORY = {"Na": gettext_noop("Sodium"), "SO4": gettext_noop("Sulfate")}


def drift_view(plant: Plant, stands: Sequence[ResultStand]) -> DriftView | None:
    """Return what changed and why, or None where nothing did."""
    drift = drift_of(stands)
    told = drift.told
    if not told:
        return None
    changed = tuple(_changed(plant, key, drift.usual, each) for key, each in told.items())
    try:
        found, tests = explained(drift)
    except ChemistryError as error:
        return DriftView(changed=changed, refusal=words.sentence(error))
    fits = found.code != "unexplained"
    return DriftView(
        changed=changed,
        verdict=_(ingress_words.VERDICTS[found.code]),
        causes=tuple(_cause(each) for each in found.leading) if fits else (),
        test=_test(tests, len(found.leading)) if fits else "",
        not_weighed=_(NOT_WEIGHED),
    )


def _changed(plant: Plant, key: str, usual: Mapping[str, float], change: Change) -> str:
    unit = ANALYTES[key].unit
    text = _("%(name)s: %(now)s %(unit)s, usually %(usual)s.")
    return text % {
        "name": analyte_name(key),
        "now": figure(plant, usual[key] + change.found, unit),
        "usual": figure(plant, usual[key], unit),
        "unit": words.unit_label(words.plant_unit(plant, unit)),
    }


def _cause(each: Explanation) -> CauseView:
    names = [_name(source) for source in each.sources]
    name = names[0] if names else _(NOTHING)
    if len(names) > 1:
        name = _(ingress_words.TWO) % {"first": names[0], "second": names[1]}
    percent = min(99, max(1, round(100.0 * each.probability)))
    return CauseView(
        name=name,
        sure=_("about %(n)s %%") % {"n": percent},
        look_at=tuple(_(ingress_words.LOOK_AT[source.kind]) for source in each.sources),
    )


def _name(source: Source) -> str:
    return _(ingress_words.KINDS[source.kind])


def _test(tests: Sequence[Telling], leading: int) -> str:
    if leading < 2:
        return ""
    if not tests:
        return _(ingress_words.NO_TEST_TELLS)
    key = tests[0].quantity
    name = _(_LABORATORY[key]) if key in _LABORATORY else analyte_name(key)
    text = _("The quickest test that would tell them apart: %(test)s, about %(minutes)s minutes.")
    return text % {"test": name, "minutes": f"{tests[0].test.minutes:.0f}"}
