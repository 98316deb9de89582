"""The guided form of an instrument's check, made from its recipe's fields."""

from collections.abc import Mapping, Sequence
from datetime import date

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from chemistry import units
from chemistry.methods.base import Field
from chemistry.methods.base import Step as RecipeStep
from chemistry.recipes.base import ENDING_WORDS, Ending, Recipe, StandardRole
from dashboards import words
from dashboards.build.check_rows import AS_FOUND, AS_LEFT, GRAVE, found_view
from dashboards.build.instruments import STANDING_WORDS
from dashboards.forms.checks import FOUND, LEFT, field_name, name_of_trouble, unit_name
from dashboards.screens.bench import StepView
from dashboards.screens.fields import Choice, FieldView, Kind
from dashboards.screens.instruments import CheckScreen, StandardView
from records import clock
from records.actors import Actor
from records.models import Instrument, Lot
from records.selectors.cards import lot_cards, worth_text
from records.selectors.check_history import last_pass
from records.selectors.check_work import PARTNERS, WorkedCheck, offered_for
from records.selectors.instruments import Shelf, Standing, label_of, shelf_of, standing
from records.shifts import local

_FEW = 4  # choices that are all shown


def check_screen(
    actor: Actor,
    instrument: Instrument,
    recipe: Recipe,
    typed: Mapping[str, str],
    *,
    key: str,
    work: WorkedCheck | None = None,
    errors: Mapping[str, str] | None = None,
    finishing: bool = False,
) -> CheckScreen:
    """Return the form as typed, with what came of it; what is merely empty is told only when it is
    to be recorded."""
    told = dict(errors or {}) | (_told(work, finishing) if work else {})
    shelf, shown = shelf_of(actor.plant), _Shown(typed, told)
    end = work.ending if work else None
    return CheckScreen(
        plant_id=str(actor.plant.pk),
        instrument_id=str(instrument.pk),
        instrument_name=instrument.name,
        recipe_key=recipe.key,
        name=_(recipe.name),
        purpose=_(recipe.purpose),
        source=recipe.source,
        key=key,
        head=_head(instrument, recipe, shelf, shown),
        standards=_standards(actor, instrument, recipe, shelf, shown),
        found=tuple(shown.field(FOUND, field) for field in recipe.fields),
        adjusted=shown.box("adjusted", _("It was adjusted, and read again as left")),
        adjusted_open=typed.get("adjusted") == "yes",
        left=tuple(shown.field(LEFT, field) for field in recipe.fields),
        adjustment=shown.text("adjustment", _("What was adjusted?"), required=True),
        note=shown.text("note", _("Note")),
        steps=_steps(recipe.steps),
        adjusting=_steps(recipe.adjustment),
        trouble=_steps(recipe.trouble),
        trouble_open=bool(work and work.found and not work.found.accepted),
        worked=tuple(
            found_view(found, title)
            for found, title in ((work.found, AS_FOUND), (work.left, AS_LEFT))
            if found
        )
        if work
        else (),
        ending=_(ENDING_WORDS[end]) if end else "",
        ending_grave=end in GRAVE,
        consequence=_consequence(actor, instrument, work),
        waiting=_waiting(work, recipe),
        errors=tuple(text for name, text in told.items() if not name),
    )


def _told(work: WorkedCheck, finishing: bool) -> dict[str, str]:
    """Return the trouble by form name."""
    empty = ("missing", "empty", "standard_needed")
    return {
        name_of_trouble(key): words.sentence(error)
        for key, error in work.errors.items()
        if finishing or error.code not in empty
    }


def _waiting(work: WorkedCheck | None, recipe: Recipe) -> str:
    if work is None:
        return _("Fill in what you read, then look what it comes to.")
    labels = {field.key: field.label for field in recipe.fields}
    labels |= {f"standard-{role.key}": role.label for role in recipe.standards}
    empty = ("missing", "empty", "standard_needed")
    missing = [_(labels[k]) for k, e in work.errors.items() if e.code in empty and k in labels]
    return _("Still to be read: %(fields)s") % {"fields": ", ".join(missing)} if missing else ""


def _consequence(actor: Actor, instrument: Instrument, work: WorkedCheck | None) -> str:
    """Return what recording a check does beyond the instrument, so that nobody is surprised."""
    if work is None or not work.puts_in_doubt:
        return ""
    passed = last_pass(instrument)
    said = _("All results by it so far are then in doubt, until a chemist decides.")
    if passed is not None:
        since = words.moment(actor.plant, passed.done_at)
        said = _(
            "All results by it since its last check that passed, %(since)s, are then in doubt, "
            "until a chemist decides."
        ) % {"since": since}
    if work.ending is Ending.OUT_OF_SERVICE:
        whom = actor.plant.whom_to_call or _("the chemist")
        out = _("It is taken out of service: hang a tag on it and call %(whom)s.")
        return f"{out % {'whom': whom}} {said}"
    return said


def _steps(steps: Sequence[RecipeStep]) -> tuple[StepView, ...]:
    return tuple(StepView(text=_(step.text), caution=step.caution) for step in steps)


class _Shown:
    """Makes the fields of the form, filled with what was typed and with what is wrong."""

    def __init__(self, typed: Mapping[str, str], told: Mapping[str, str]) -> None:
        self.typed, self.told = typed, told

    def _view(self, name: str, label: str, **options: object) -> FieldView:
        return FieldView(
            name=name,
            id=f"f-{name.replace('.', '-')}",
            label=label,
            value=self.typed.get(name, ""),
            error=self.told.get(name, ""),
            **options,  # type: ignore[arg-type]
        )

    def text(self, name: str, label: str, **options: object) -> FieldView:
        return self._view(name, label, **options)

    def box(self, name: str, label: str, help: str = "") -> FieldView:
        on = self.typed.get(name) == "yes"
        box = Choice(value="yes", label="", selected=on)
        return FieldView(
            name=name, id=f"f-{name}", label=label, kind="checkbox", value="yes", choices=(box,),
            help=help,
        )  # fmt: skip

    def select(
        self, name: str, label: str, choices: Sequence[tuple[str, str, str]], **options: object
    ) -> FieldView:
        picked = self.typed.get(name, "")
        offered = tuple(
            Choice(value=value, label=said, note=note, selected=value == picked)
            for value, said, note in choices
        )
        return self._view(name, label, kind="select", choices=offered, **options)

    def field(self, run: str, field: Field) -> FieldView:
        """Return one field of the recipe, as found or as left."""
        name = field_name(run, field.key)
        unit, picked = self.typed.get(unit_name(run, field.key), ""), self.typed.get(name, "")
        kind: Kind = "text" if field.longest else "number"
        if field.choices:
            kind = "radio" if len(field.choices) <= _FEW else "select"
        several = len(field.units) > 1
        return self._view(
            name,
            _(field.label),
            kind=kind,
            choices=tuple(
                Choice(value=v, label=_(said), selected=v == picked) for v, said in field.choices
            ),
            unit=units.label(field.unit) if len(field.units) == 1 else "",
            units=tuple(
                Choice(value=u, label=units.label(u), selected=u == unit) for u in field.units
            )
            if several
            else (),
            unit_name=unit_name(run, field.key),
            help=_(field.help) if field.help else "",
            required=field.required,
            asked_when=_(field.asked_when) if field.asked_when else "",
        )


def _head(
    instrument: Instrument, recipe: Recipe, shelf: Shelf, shown: _Shown
) -> tuple[FieldView, ...]:
    head = [shown.text("done_at", _("Checked at"), kind="datetime-local", required=True)]
    partners = shelf.instruments.get(PARTNERS.get(instrument.kind, ""), ())
    if partners:
        none = ("", _("none, or it is not known"), "")
        offered = [none, *((str(each.pk), label_of(each), "") for each in partners)]
        told = _("What was read with it is checked as well.")
        head.append(shown.select("together", _("Read together with"), offered, help=told))
    if recipe.quick_days is not None:
        days = round(recipe.quick_days)
        told = ngettext("every %(n)s day", "every %(n)s days", days) % {"n": days}
        head.append(
            shown.box(
                "quick",
                _("Quick verification only"),
                _("Near the level of use, between two full checks: %(often)s.") % {"often": told},
            )
        )
    return tuple(head)


def _standards(
    actor: Actor, instrument: Instrument, recipe: Recipe, shelf: Shelf, shown: _Shown
) -> tuple[StandardView, ...]:
    today = local(actor.plant, clock.now()).date()
    cards = lot_cards(actor.plant)

    def offer(used: Instrument | Lot) -> tuple[str, str, str]:
        stands = standing(used, today)
        worth = worth_text(cards.get(used.pk)) if isinstance(used, Lot) else ""
        label = f"{label_of(used)}: {worth}" if worth else label_of(used)
        word = "" if stands is Standing.IN_ORDER else _(STANDING_WORDS[stands])
        return str(used.pk), label, word

    views = []
    for role in recipe.standards:
        if not role.kind:
            views.append(StandardView(fields=_typed(role, shown)))
            continue
        every = [each for each in offered_for(role, shelf) if each.pk != instrument.pk]
        none = ("", _("pick one") if role.required else _("none"), "")
        picked = shown.typed.get(f"standard.{role.key}", "")
        chosen = next((each for each in every if str(each.pk) == picked), None)
        views.append(
            StandardView(
                fields=(
                    shown.select(
                        f"standard.{role.key}",
                        _(role.label),
                        [none, *(offer(each) for each in every)],
                        required=role.required,
                    ),
                ),
                reason=shown.text(
                    f"reason.{role.key}", _("Why it is used nevertheless"), required=True
                )
                if _ask_why(chosen, today) or shown.told.get(f"reason.{role.key}")
                else None,
            )
        )
    return tuple(views)


def _ask_why(chosen: Instrument | Lot | None, today: date) -> bool:
    return chosen is not None and standing(chosen, today) is not Standing.IN_ORDER


def _typed(role: StandardRole, shown: _Shown) -> tuple[FieldView, ...]:
    unit = units.label(role.unit)
    spread = _("± of it, as the bench sheet says")
    return (
        shown.text(f"value.{role.key}", _(role.label), kind="number", unit=unit, required=True),
        shown.text(f"spread.{role.key}", spread, kind="number", unit=unit, required=True),
    )
