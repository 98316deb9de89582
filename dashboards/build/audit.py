"""The instruments of all plants of a person in one list, to be gone through and printed."""

from collections.abc import Mapping

from django.utils import formats
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext
from django_scopes import scope

from dashboards.build.forms import choice_field
from dashboards.build.register import instrument_row
from dashboards.screens.fields import FieldView
from dashboards.screens.instruments import AuditScreen, InstrumentRow
from records import clock
from records.access import actor_at, plants_of
from records.models import InstrumentKind, Plant, User
from records.permissions import Deed
from records.selectors.instruments import Standing
from records.selectors.register import InstrumentStand, register_of

ALL, NOT_IN_ORDER, IN_DOUBT, NEVER = "", "not_in_order", "in_doubt", "never"
SHOWN = {
    ALL: gettext_noop("All"),
    NOT_IN_ORDER: gettext_noop("Not in order"),
    IN_DOUBT: gettext_noop("With results in doubt"),
    NEVER: gettext_noop("Never checked"),
}


def audit_screen(user: User, asked: Mapping[str, str]) -> AuditScreen:
    """Return every instrument of the plants that a person may see, as the filters have it."""
    plants = [plant for plant in plants_of(user) if actor_at(user, plant.pk).may(Deed.SEE)]
    found = [(plant, each) for plant in plants for each in _stands(plant)]
    picked = [(plant, each) for plant, each in found if _is_asked_for(plant, each, asked)]
    rows = [instrument_row(plant, each, can_check=False) for plant, each in picked]
    count = ngettext("%(n)s instrument", "%(n)s instruments", len(rows)) % {"n": len(rows)}
    return AuditScreen(
        now_text=formats.date_format(clock.now(), "D j M Y, H:i") + " UTC",
        count_text=count,
        rows=tuple(rows),
        filters=_filters(plants, asked),
        asked_text=_asked_text(plants, asked),
        findings=tuple(_finding(row) for row in rows if row.state != "ok" or row.waiting_text),
    )


def _stands(plant: Plant) -> list[InstrumentStand]:
    with scope(plant=plant):
        return list(register_of(plant))


def _is_asked_for(plant: Plant, stand: InstrumentStand, asked: Mapping[str, str]) -> bool:
    if asked.get("plant") and asked["plant"] != str(plant.pk):
        return False
    if asked.get("kind") and asked["kind"] != stand.instrument.kind:
        return False
    match asked.get("shown", ALL):
        case "not_in_order":
            return stand.standing is not Standing.IN_ORDER
        case "in_doubt":
            return bool(stand.waiting)
        case "never":
            return stand.last is None
    return True


def _filters(plants: list[Plant], asked: Mapping[str, str]) -> tuple[FieldView, ...]:
    every = ("", _("All"))
    return (
        choice_field("shown", _("Show"), [(k, _(label)) for k, label in SHOWN.items()], asked),
        choice_field(
            "kind", _("Kind"), [every, *((v, str(la)) for v, la in InstrumentKind.choices)], asked
        ),
        choice_field("plant", _("Plant"), [every, *((str(p.pk), p.name) for p in plants)], asked),
    )


def _asked_text(plants: list[Plant], asked: Mapping[str, str]) -> str:
    """Return in words what the list is narrowed to, for the printed page."""
    kinds = {value: str(label) for value, label in InstrumentKind.choices}
    names = {str(plant.pk): plant.name for plant in plants}
    told = [
        _(SHOWN[asked["shown"]]) if asked.get("shown") in SHOWN and asked["shown"] else "",
        kinds.get(asked.get("kind", ""), ""),
        names.get(asked.get("plant", ""), ""),
    ]
    return ", ".join(filter(None, told)) or _("all instruments")


def _finding(row: InstrumentRow) -> str:
    what = ", ".join(filter(None, [row.state_word if row.state != "ok" else "", row.waiting_text]))
    return f"{row.plant_name}, {row.name}: {what}"
