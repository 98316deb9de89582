"""Working a check's recipe in a test, and what it found as one text."""

from chemistry.errors import EntryError
from chemistry.recipes.base import Figure, Found, Recipe

NOT_FIELDS = {"name", "found", "source", "kind"}


def check(
    recipe: Recipe, standards, tolerances=None, *, units=None, last=None, facts=None, **typed
) -> Found:
    """Return what a check found; what was typed must be without trouble."""
    entry = recipe.read(typed, units or {})
    assert not entry.errors, {key: str(error) for key, error in entry.errors.items()}
    return recipe.work(entry, standards, tolerances, last=last, facts=facts)


def trouble(recipe: Recipe, standards, tolerances=None, **typed) -> dict[str, str]:
    """Return the code of each trouble by field, met while reading or while working."""
    entry = recipe.read(typed, {})
    if entry.errors:
        assert all(str(error) for error in entry.errors.values())
        return {key: error.code for key, error in entry.errors.items()}
    try:
        recipe.work(entry, standards, tolerances)
    except EntryError as error:
        assert str(error)
        return {error.field: error.code}
    return {}


def said(found: Found) -> str:
    """Return the reasons as they are read."""
    return " ".join(template % params for template, params in found.reasons)


def parts(figure: Figure) -> dict[str, float]:
    """Return the standard uncertainties of a figure's budget by name."""
    return {part.name: part.u for part in figure.budget.components}


def as_text(found: Found) -> str:
    """Return what a check found as one text: acceptance, effect, then each figure."""
    effect = f"{found.effect.kind} {found.effect.size:.6g}"
    figures = (f"{each.key} {each.value_text} ± {each.expanded_text}" for each in found.figures)
    return "; ".join((f"{found.acceptance}, {effect}", *figures))
