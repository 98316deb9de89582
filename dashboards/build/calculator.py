"""The calculator's screens, out of the calculations and what was typed. Nothing is stored."""

from collections.abc import Mapping
from itertools import groupby
from urllib.parse import urlencode

from django.utils.translation import gettext as _

from chemistry import calculations, units
from chemistry.calculations.base import SUBJECTS, Answer, Calculation, Found
from chemistry.errors import ChemistryError, EntryError
from chemistry.methods.base import Entry, Field
from dashboards.screens.calculator import (
    AnswerView,
    CalculationScreen,
    CalculatorScreen,
    Question,
    Subject,
)
from dashboards.screens.fields import Choice, FieldView
from dashboards.words import sentence, told

UNIT = ".unit"


def calculator_screen() -> CalculatorScreen:
    """Return the list of questions."""
    every = calculations.CALCULATIONS.values()
    return CalculatorScreen(
        subjects=tuple(
            Subject(
                name=_(SUBJECTS[subject]),
                questions=tuple(
                    Question(key=each.key, text=_(each.question), purpose=_(each.purpose))
                    for each in group
                ),
            )
            for subject, group in groupby(every, key=lambda each: each.subject)
        )
    )


def calculation_screen(
    calculation: Calculation, sent: Mapping[str, str], liked: Mapping[str, str]
) -> CalculationScreen:
    """Return one question with its answers.

    `sent`: what was typed by field, and units under the field's name with ".unit"; `liked`: the
    units that this person chose before, by the unit that they stand for.
    """
    touched = any(sent.get(each.key, "").strip() for each in calculation.fields)
    chosen = {each.key: _unit(each, sent, liked) for each in calculation.fields}
    entry = calculation.read(
        {each.key: sent.get(each.key, "") for each in calculation.fields}, chosen
    )
    missing = [each for each in calculation.fields if _is_missing(entry, each.key)]
    errors = {key: error for key, error in entry.errors.items() if error.code != "missing"}
    found, refusal = _found(calculation, entry, errors) if touched and not missing else (None, "")
    names = ", ".join(_(each.label) for each in missing)
    return CalculationScreen(
        key=calculation.key,
        question=_(calculation.question),
        purpose=_(calculation.purpose),
        fields=tuple(
            _field(each, sent.get(each.key), chosen[each.key], errors.get(each.key))
            for each in calculation.fields
        ),
        validity=_(calculation.validity),
        sources=", ".join(calculation.sources),
        example=urlencode(calculation.example),
        answers=tuple(_answer(each, sent, liked) for each in found.answers) if found else (),
        remarks=tuple(told(*remark) for remark in found.remarks) if found else (),
        waiting=_("Still to be given: %(fields)s") % {"fields": names} if missing else "",
        refusal=refusal,
        cautions=tuple(_(each) for each in calculation.cautions),
        touched=touched,
    )


def liked_units(
    calculation: Calculation, sent: Mapping[str, str], liked: Mapping[str, str]
) -> dict[str, str]:
    """Return the units this person likes, with those chosen here, by the unit they stand for."""
    likes = dict(liked)
    for each in calculation.fields:
        unit = sent.get(each.key + UNIT, "")
        if len(each.units) > 1 and unit in each.units:
            likes[each.unit] = unit
    return likes


def _found(
    calculation: Calculation, entry: Entry, errors: dict[str, EntryError]
) -> tuple[Found | None, str]:
    """Return what comes out, or why nothing does; what is wrong with a field joins `errors`."""
    if errors:
        return None, ""
    try:
        return calculation.found(entry), ""
    except ChemistryError as error:
        if isinstance(error, EntryError) and error.field:
            errors[error.field] = error
            return None, ""
        return None, sentence(error)


def _is_missing(entry: Entry, key: str) -> bool:
    return key in entry.errors and entry.errors[key].code == "missing"


def _unit(field: Field, sent: Mapping[str, str], liked: Mapping[str, str]) -> str:
    """Return the unit that a field is read in: the one sent, the one liked, or the usual one."""
    if not field.units:
        return ""
    for unit in (sent.get(field.key + UNIT, ""), liked.get(field.unit, "")):
        if unit in field.units:
            return unit
    return field.units[0]


def _field(field: Field, typed: str | None, unit: str, error: EntryError | None) -> FieldView:
    value = _default(field, unit) if typed is None else typed
    choices = tuple(
        Choice(value=key, label=_(name), selected=key == (value or field.default))
        for key, name in field.choices
    )
    offered = tuple(Choice(value=u, label=units.label(u), selected=u == unit) for u in field.units)
    bare = field.units[:1] in (("pH",), ("1",))
    return FieldView(
        name=field.key,
        id=f"f-{field.key}",
        label=_(field.label),
        value="" if choices else value,
        kind="select" if choices else "number",
        unit=units.label(field.units[0]) if len(offered) == 1 and not bare else "",
        units=offered if len(offered) > 1 else (),
        unit_name=field.key + UNIT,
        choices=choices,
        error=sentence(error) if error else "",
        help=_(field.help) if field.help else "",
        required=field.required,
        asked_when=_(field.asked_when) if field.asked_when else "",
    )


def _default(field: Field, unit: str) -> str:
    """Return what an empty field stands for, in the unit it is shown in."""
    if not field.default or not unit or unit == field.unit:
        return field.default
    return f"{units.convert(float(field.default), field.unit, unit):.6g}"


def _answer(answer: Answer, sent: Mapping[str, str], liked: Mapping[str, str]) -> AnswerView:
    wanted = [sent.get(f"answer.{answer.key}{UNIT}", ""), liked.get(answer.unit, "")]
    unit = next((each for each in wanted if each in answer.units), answer.unit)
    between = ""
    if answer.low is not None and answer.high is not None:
        ends = {"low": answer.text(answer.low, unit), "high": answer.text(answer.high, unit)}
        between = _("between %(low)s and %(high)s") % ends
    return AnswerView(
        key=answer.key,
        label=_(answer.label),
        value=answer.text(answer.value, unit),
        unit=units.label(unit) if unit else "",
        between=between,
        units=tuple(
            Choice(value=each, label=units.label(each), selected=each == unit)
            for each in answer.units
        ),
    )
