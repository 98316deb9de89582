"""What of a bench test may be folded away, and the line that then tells what it holds."""

from collections.abc import Sequence

from django.utils.translation import gettext as _

from dashboards.screens.bench import InstrumentView
from dashboards.screens.fields import FieldView


def standing_text(fields: Sequence[FieldView]) -> str:
    """Return the standing figures of the present mode in one line."""
    return "; ".join(_held(field) for field in fields if field.shown and field.value)


def _held(field: FieldView) -> str:
    """Return what a field holds; a choice says by itself what it is about."""
    picked = ", ".join(each.label for each in (*field.choices, *field.units) if each.selected)
    if field.choices:
        return picked
    return " ".join(filter(None, [field.label, field.value, field.unit or picked]))


def standing_settled(fields: Sequence[FieldView]) -> bool:
    """Say whether nothing among the standing figures is missing or wrong."""
    return not any(
        field.shown and (field.error or (field.required and not field.value)) for field in fields
    )


def means_text(means: Sequence[InstrumentView]) -> str:
    """Return what the test is made with in one line."""
    picked = [
        choice.label
        for view in means
        for choice in view.choice.choices
        if choice.selected and choice.value
    ]
    return "; ".join(picked) or _("nothing from the list")


def means_settled(means: Sequence[InstrumentView]) -> bool:
    """Say whether everything picked is in order and nothing that is needed is missing."""
    return not any(
        view.needs_reason or view.choice.error or (view.choice.required and view.state == "none")
        for view in means
    )
