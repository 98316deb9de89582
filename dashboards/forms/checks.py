"""The names under which an instrument's check travels, and reading them back."""

from collections.abc import Mapping

from chemistry.recipes.base import Recipe
from dashboards import words
from dashboards.forms.bench import instant_of
from records import clock
from records.models import Instrument, Plant
from records.selectors.check_work import CheckEntry, Run

FOUND, LEFT = "found", "left"


def field_name(run: str, key: str) -> str:
    return f"{run}.{key}"


def unit_name(run: str, key: str) -> str:
    return f"{run}.{key}.unit"


def name_of_trouble(key: str) -> str:
    """Return the form name of the field that a key of `WorkedCheck.errors` belongs to."""
    for mark in ("standard-", "value-", "spread-", "reason-"):
        if key.startswith(mark):
            return key.replace("-", ".", 1)
    if key.startswith("left-"):
        return field_name(LEFT, key.removeprefix("left-"))
    own = ("done_at", "together", "adjustment", "note", "")
    return key if key in own else field_name(FOUND, key)


def with_defaults(plant: Plant, recipe: Recipe, typed: Mapping[str, str]) -> dict[str, str]:
    """Return what was sent, with the time, the plant's units and the usual choices where nothing
    was."""
    filled = {"done_at": words.for_input(plant, clock.now())}
    for run in (FOUND, LEFT):
        for field in recipe.fields:
            if field.units:
                wanted = words.plant_unit(plant, field.unit)
                unit = wanted if wanted in field.units else field.units[0]
                filled[unit_name(run, field.key)] = unit
            if field.default:
                filled[field_name(run, field.key)] = field.default
    return {**filled, **typed}


def entry_of(
    plant: Plant, instrument: Instrument, recipe: Recipe, typed: Mapping[str, str]
) -> CheckEntry:
    """Return a check from its flat names. Raises RecordError beside `done_at`."""
    roles = [role.key for role in recipe.standards]

    def run(name: str) -> Run:
        keys = [field.key for field in recipe.fields]
        return Run(
            typed={key: typed.get(field_name(name, key), "") for key in keys},
            units={
                key: typed[unit_name(name, key)] for key in keys if unit_name(name, key) in typed
            },
        )

    def by_role(what: str) -> dict[str, str]:
        return {role: typed.get(f"{what}.{role}", "").strip() for role in roles}

    adjusted = typed.get("adjusted") == "yes"
    return CheckEntry(
        instrument=instrument,
        recipe=recipe.key,
        version=recipe.version,
        done_at=instant_of(plant, typed.get("done_at", ""), field="done_at"),
        found=run(FOUND),
        left=run(LEFT) if adjusted else None,
        adjustment=typed.get("adjustment", "") if adjusted else "",
        quick=typed.get("quick") == "yes",
        together=typed.get("together", ""),
        standards=by_role("standard"),
        values=by_role("value"),
        spreads=by_role("spread"),
        reasons=by_role("reason"),
        note=typed.get("note", ""),
    )
