"""Small pieces that templates print: fields of either make, and verdict shapes."""

from dataclasses import replace
from typing import Any

from django import template
from django.forms import BoundField, CheckboxSelectMultiple, RadioSelect, Select, Textarea
from django.utils.translation import gettext as _

from dashboards.screens.fields import Choice, FieldView, Kind
from dashboards.screens.results import VerdictView

register = template.Library()


def _kind_of(bound: BoundField) -> Kind:
    widget = bound.field.widget
    if isinstance(widget, Textarea):
        return "textarea"
    if isinstance(widget, CheckboxSelectMultiple):  # before its parent, RadioSelect
        return "checkboxes"
    if isinstance(widget, RadioSelect):
        return "radio"
    if isinstance(widget, Select):
        return "select"
    known: dict[str, Kind] = {
        "password": "password",
        "date": "date",
        "datetime-local": "datetime-local",
        "checkbox": "checkbox",
        "hidden": "hidden",
    }
    return known.get(getattr(widget, "input_type", "text"), "text")


def field_view(bound: BoundField) -> FieldView:
    """Return a Django form's field as the `FieldView` that the partial prints; typed text stays."""
    value = bound.value()
    chosen = {str(v) for v in value} if isinstance(value, list | tuple | set) else {str(value)}
    attrs = bound.field.widget.attrs
    return FieldView(
        name=bound.html_name,
        id=bound.id_for_label or f"id_{bound.html_name}",
        label=str(bound.label),
        value="" if value is None or isinstance(value, list | tuple | set) else str(value),
        kind=_kind_of(bound),
        choices=tuple(
            Choice(value=str(v), label=str(label), selected=str(v) in chosen)
            for v, label in getattr(bound.field, "choices", ())
        ),
        error=" ".join(str(e) for e in bound.errors),
        help=str(bound.help_text),
        required=bound.field.required,
        inputmode=str(attrs.get("inputmode", "")),
        autocomplete=str(attrs.get("autocomplete", "off")),
    )


@register.inclusion_tag("dashboards/parts/field.html")
def field(item: FieldView | BoundField, *, prefix: str = "") -> dict[str, Any]:
    """Print one field, label, unit, help and error, whether of a screen object or a form.

    `prefix` keeps ids single where one form stands on a page several times.
    """
    shown = item if isinstance(item, FieldView) else field_view(item)
    return {"field": replace(shown, id=f"{prefix}-{shown.id}") if prefix else shown}


@register.inclusion_tag("dashboards/parts/verdict.html")
def verdict(item: VerdictView, *, why: bool = True) -> dict[str, Any]:
    """Print a verdict: own shape and word, with its marks."""
    return {
        "verdict": item,
        "why": why,
        "near_word": _("Near the limit"),
        "doubt_word": _("In doubt"),
    }
