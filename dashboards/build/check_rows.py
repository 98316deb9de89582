"""Checks as they are told: figures with their tolerance, endings, what was typed."""

import json

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from chemistry import recipes, units
from chemistry.recipes.base import ENDING_WORDS, Ending, Found
from chemistry.recipes.tolerance import ACCEPTANCE_WORDS, Acceptance
from dashboards import words
from dashboards.build.instruments import STANDING_WORDS
from dashboards.screens.instruments import CheckRow, FigureLine, RunView
from records.models import CheckStandard, InstrumentCheck, LookBack, Plant
from records.selectors.check_history import Answer, answer_of
from records.selectors.instruments import Standing

AS_FOUND, AS_LEFT = gettext_noop("As found"), gettext_noop("As left")
GRAVE = (Ending.OUT_OF_SERVICE, Ending.UNDECIDED)


def found_view(found: Found, title: str) -> RunView:
    """Return what a run comes to as it is being typed."""
    figures = tuple(
        _line(
            each.label,
            each.value_text,
            each.expanded_text,
            each.unit,
            (_end(each.low), _end(each.high)),
            each.acceptance.value if each.acceptance else "",
        )
        for each in found.figures
    )
    reasons = tuple(words.told(template, params) for template, params in found.reasons)
    return RunView(
        title=_(title), word=_(ACCEPTANCE_WORDS[found.acceptance]), figures=figures, reasons=reasons
    )


def answer_view(answer: Answer, title: str) -> RunView:
    """Return what a run came to as it is stored."""
    figures = tuple(
        _line(
            each.label,
            each.value,
            each.expanded,
            each.unit,
            (_end_of(each.low), _end_of(each.high)),
            each.acceptance,
        )
        for each in answer.figures
    )
    reasons = tuple(words.told(template, params) for template, params in answer.reasons)
    word = _(ACCEPTANCE_WORDS[answer.acceptance])
    return RunView(title=_(title), word=word, figures=figures, reasons=reasons)


def check_row(plant: Plant, check: InstrumentCheck, back: LookBack | None) -> CheckRow:
    """Return one check on record."""
    recipe = recipes.get(check.recipe, check.recipe_version)
    runs = [(answer_of(check), AS_FOUND), (answer_of(check, "left"), AS_LEFT)]
    remarks = [check.note]
    if check.adjustment:
        remarks.insert(0, _("Adjusted: %(what)s") % {"what": check.adjustment})
    if check.together is not None:
        other = {"name": check.together.instrument.name}
        remarks.append(_("Checked together with %(name)s") % other)
    name = _(recipe.name)
    return CheckRow(
        when=words.moment(plant, check.done_at),
        by=check.by_name,
        name=_("%(name)s, quick verification") % {"name": name} if check.quick else name,
        ending=_(ENDING_WORDS[check.ending]),
        failed=check.ending in GRAVE or check.acceptance == Acceptance.NOT_ACCEPTED,
        runs=tuple(answer_view(answer, title) for answer, title in runs if answer),
        standards=tuple(_held(each) for each in check.standards.all()),
        remarks=tuple(filter(None, remarks)),
        typed=_typed(check),
        look_back_id=str(back.pk) if back else "",
    )


def _typed(check: InstrumentCheck) -> tuple[tuple[str, str], ...]:
    recipe = recipes.get(check.recipe, check.recipe_version)
    fields = {field.key: field for field in recipe.fields}
    rows = []
    for run, title in (("found", AS_FOUND), ("left", AS_LEFT)):
        for each in json.loads(check.typed).get(run, ()):
            field = fields[each["field"]]
            told = each["typed"] or each["normalized"]
            if field.choices:
                told = _(dict(field.choices)[each["normalized"]])
            unit = units.label(each["unit"]) if each["unit"] else ""
            rows.append((f"{_(title)}: {_(field.label)}", f"{told} {unit}".strip()))
    return tuple(rows)


def _held(standard: CheckStandard) -> str:
    worth = f"{standard.value} ± {standard.expanded} {units.label(standard.unit)}".strip()
    told = f"{standard.label}: {worth}" if standard.label else worth
    if standard.standing == Standing.IN_ORDER:
        return told
    stands = _(STANDING_WORDS[Standing(standard.standing)])
    return f"{told} ({stands}: {standard.reason})"


def _end(value: float | None) -> str:
    return "" if value is None else f"{value:.4g}"


def _end_of(text: str) -> str:
    """Return an end as it was stored, in the digits in which it is shown."""
    return _end(float(text)) if text else ""


def _line(
    label: str, value: str, expanded: str, unit: str, ends: tuple[str, str], acceptance: str
) -> FigureLine:
    of_unit = units.label(unit) if unit else ""
    spread = f" ± {expanded}" if expanded and float(expanded) else ""
    low, high = ends
    tolerance = ""
    if low and high:
        tolerance = _("%(low)s to %(high)s %(unit)s")
    elif low:
        tolerance = _("not below %(low)s %(unit)s")
    elif high:
        tolerance = _("not above %(high)s %(unit)s")
    said = {"low": low, "high": high, "unit": of_unit}
    return FigureLine(
        label=_(label),
        text=f"{value}{spread} {of_unit}".strip(),
        tolerance=(tolerance % said).strip(),
        word=_(ACCEPTANCE_WORDS[acceptance]) if acceptance else "",
        outside=acceptance in (Acceptance.NOT_ACCEPTED, Acceptance.UNCERTAIN),
    )
