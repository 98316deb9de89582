"""A worked result as its history tells it: figure, budget, and the limit of its day."""

import json

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from chemistry.verdict import GUARD_BAND, SIMPLE_ACCEPTANCE
from dashboards import words
from dashboards.build.results import limit_words, stored_view
from dashboards.screens.history import NumberStep, PartOfBudget
from records.models import Measurement, Plant, Result, Verdict

RULES = {
    SIMPLE_ACCEPTANCE: gettext_noop("simple acceptance, version 1 (ILAC-G8:09/2019)"),
    GUARD_BAND: gettext_noop("with a guard band, version 1 (ILAC-G8:09/2019)"),
}
KINDS = {
    "systematic": gettext_noop("systematic: repeats share it"),
    "random": gettext_noop("random: averages out over repeats"),
}
Facts = tuple[tuple[str, str], ...]


def number_step(plant: Plant, measurement: Measurement, row: Result) -> NumberStep:
    """Return a stored result with all that it rests on; the verdict is that of its day."""
    verdict: Verdict = row.verdicts.all()[0]
    unit = words.unit_label(row.unit)
    return NumberStep(
        result=stored_view(plant, row, verdict),
        kept_text=f"{row.qualifier}{row.value} ± {row.expanded} {unit}".strip(),
        budget_unit=unit,
        facts=_facts(row, unit),
        budget=tuple(_part(part) for part in json.loads(row.budget)),
        judged=_judged(plant, verdict),
    )


def _facts(row: Result, unit: str) -> Facts:
    return (
        (_("Expanded uncertainty (95.45 %)"), f"± {row.expanded} {unit}".strip()),
        (_("Coverage factor"), row.coverage),
        (_("Degrees of freedom"), _dof(row.degrees_of_freedom)),
        (_("Random part"), f"{row.u_random} {unit}".strip()),
        (_("Systematic part"), f"{row.u_systematic} {unit}".strip()),
        (_("Rule of the uncertainty"), _("version %(n)s") % {"n": row.rule_version}),
    )


def _dof(text: str) -> str:
    return "∞" if text == "inf" else text


def _part(part: dict[str, str]) -> PartOfBudget:
    return PartOfBudget(
        name=_(part["name"]),
        u=part["u"],
        kind=_(KINDS.get(part["kind"], part["kind"])),
        dof=_dof(part["dof"]),
        distribution=part["distribution"],
        source=part["source"],
    )


def _judged(plant: Plant, verdict: Verdict) -> Facts:
    version, limit = verdict.program_version, verdict.limit
    told = []
    if version is not None:
        named = {"n": version.number, "at": words.moment(plant, version.in_force_from)}
        said = _("version %(n)s, in force from %(at)s") % named
        told.append((_("Program of that day"), f"{version.program.name}, {said}"))
    if limit is not None:
        told.append((_("Limit of that day"), limit_words(limit, plant) or _("no limit is known")))
        told.append((_("Source of the limit"), f"{limit.source} ({limit.confidence})"))
    told.append((_("Rule of the verdict"), _(RULES.get(verdict.rule, verdict.rule))))
    if verdict.probability:
        chance = _chance(100 * float(verdict.probability))
        told.append((_("Probability that the true value is within the limit"), chance))
    return tuple(told)


def _chance(percent: float) -> str:
    """Return a probability that claims no certainty."""
    if percent > 99.9:
        return _("more than 99.9 %")
    return _("less than 0.1 %") if percent < 0.1 else f"{percent:.3g} %"
