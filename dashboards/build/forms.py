"""Small makers of entry fields, and of forms that keep what was typed."""

from collections.abc import Mapping, Sequence
from uuid import uuid4

from django.http import HttpRequest
from django.utils.translation import gettext as _

from chemistry import units
from dashboards.screens.fields import Choice, FieldView, FormView, Kind


def text_field(
    name: str, label: str, posted: Mapping[str, str], *, kind: Kind = "text", **options: object
) -> FieldView:
    """Return a field filled with what was sent for it, or with `value`."""
    value = posted.get(name, str(options.pop("value", "")))
    if kind in ("password", "pin"):
        value = ""
    return FieldView(
        name=name,
        id=f"f-{name}",
        label=label,
        kind=kind,
        value=value,
        **options,  # type: ignore[arg-type]
    )


def choice_field(
    name: str,
    label: str,
    choices: Sequence[tuple[str, str]],
    posted: Mapping[str, str],
    *,
    kind: Kind = "select",
    **options: object,
) -> FieldView:
    """Return a field of choices with the one that was sent, or `value`, selected."""
    value = posted.get(name, str(options.pop("value", "")))
    return FieldView(
        name=name,
        id=f"f-{name}",
        label=label,
        kind=kind,
        choices=tuple(Choice(value=v, label=str(said), selected=v == value) for v, said in choices),
        **options,  # type: ignore[arg-type]
    )


def number_field(
    name: str,
    label: str,
    posted: Mapping[str, str],
    offered: Sequence[str],
    *,
    unit: str,
    **options: object,
) -> FieldView:
    """Return a field for a figure with its unit chosen beside it."""
    chosen = posted.get(f"{name}.unit", unit)
    return text_field(
        name,
        label,
        posted,
        kind="number",
        units=tuple(Choice(value=u, label=units.label(u), selected=u == chosen) for u in offered),
        unit_name=f"{name}.unit",
        **options,
    )


def pin_field(error: str = "") -> FieldView:
    """Return the field that asks for a PIN."""
    return text_field("pin", _("Your PIN"), {}, kind="pin", required=True, error=error)


def password_field(error: str = "", label: str = "") -> FieldView:
    """Return the field that asks for a password."""
    return text_field(
        "password",
        label or _("Your password"),
        {},
        kind="password",
        required=True,
        error=error,
        autocomplete="current-password",
    )


def form(*fields: FieldView, errors: Sequence[str] = (), key: str = "") -> FormView:
    """Return a form with a key of its own, or with the one that was sent."""
    return FormView(fields=fields, key=key or str(uuid4()), errors=tuple(errors))


def posted(request: HttpRequest) -> dict[str, str]:
    """Return what was sent as name -> text."""
    return {name: request.POST.get(name, "") for name in request.POST}
