"""The first start and the set-up of a plant."""

from collections.abc import Mapping, Sequence
from typing import Any

from django.db import models
from django.utils.translation import gettext as _

from dashboards import words
from dashboards.build.forms import choice_field, form, number_field, password_field, text_field
from dashboards.forms.setup import BOILER_FIGURES
from dashboards.screens.entry import SetupScreen
from dashboards.screens.fields import Choice, FieldView
from dashboards.screens.setup import PlantSetUpScreen, SetUpGroup
from records.actors import Actor
from records.models import BoilerKind, InstrumentKind, Lot, LotKind, Plant, SampleKind
from records.selectors.instruments import label_of, shelf_of
from records.selectors.people import terminals_at
from records.selectors.programs import programs_at, versions_of
from records.selectors.rounds import boilers_of, points_of

Posted = Mapping[str, str]


def setup_screen(posted: Posted, errors: Posted) -> SetupScreen:
    """Return the page of the first start."""

    def field(name: str, label: str, **options: Any) -> FieldView:
        error = errors.get(name, "")
        return text_field(name, label, posted, required=True, error=error, **options)

    return SetupScreen(
        form=form(
            field("code", _("One-time code")),
            field("organization", _("Organization")),
            field("plant", _("First plant")),
            field(
                "timezone",
                _("Time zone of the plant"),
                value="America/Chicago",
                help=_("As in America/Chicago or Europe/Berlin."),
            ),
            choice_field(
                "units",
                _("Units on the dials"),
                [("us", "µmho/cm, °F, lb/h, psi"), ("si", "µS/cm, °C, kg/h, bar")],
                posted,
                value="us",
                required=True,
            ),
            field("name", _("Your name")),
            field("username", _("User name")),
            password_field(errors.get("password", ""), _("Password, at least 10 characters")),
            errors=[errors[""]] if "" in errors else (),
        )
    )


def plant_setup_screen(actor: Actor, posted: Posted, errors: Posted) -> PlantSetUpScreen:
    """Return what the plant consists of and the forms that add to it."""
    plant, what = actor.plant, posted.get("what", "")

    def kept(key: str) -> tuple[Posted, Posted]:
        return (posted, errors) if what == key else ({}, {})

    return PlantSetUpScreen(
        plant_id=str(plant.pk),
        plant_name=plant.name,
        groups=(
            _boilers(plant, *kept("boiler")),
            _points(plant, *kept("point")),
            _instruments(plant, *kept("instrument")),
            _lots(plant, *kept("lot")),
        ),
        next_steps=tuple(_next_steps(plant)),
    )


def _next_steps(plant: Plant) -> list[str]:
    steps = []
    if not boilers_of(plant):
        steps.append(_("Add the boilers, with the figures on their plates."))
    if not shelf_of(plant).instruments:
        steps.append(_("Register the meters, cells and thermometers of the bench."))
    if not any(versions_of(p) for p in programs_at(plant) if p.boiler_id):
        steps.append(_("Let the chemist put a program in force for each boiler (Desk, Program)."))
    if not terminals_at(plant):
        steps.append(_("Give the testers a PIN (Desk, People) and enroll a terminal at the bench."))
    return steps


def _boilers(plant: Plant, posted: Posted, errors: Posted) -> SetUpGroup:
    units = {
        "rated_psig": {"psi": "psig", "bar": "barg", "kPa": "kPag"}[plant.pressure_unit],
        "steam_kg_h": plant.mass_flow_unit,
        "water_mass_kg": words.plant_unit(plant, "kg"),
    }
    units |= {
        "working_psig": units["rated_psig"],
        "continuous_blowdown_max_kg_h": units["steam_kg_h"],
        "bottom_blow_kg": units["water_mass_kg"],
    }
    labels = {
        "rated_psig": _("Rated pressure"),
        "working_psig": _("Working pressure"),
        "steam_kg_h": _("Rated steam flow"),
        "water_mass_kg": _("Water it holds at working level"),
        "continuous_blowdown_max_kg_h": _("Continuous blowdown, valve fully open"),
        "bottom_blow_kg": _("Water of one bottom blow"),
    }
    figures = [
        number_field(
            name,
            labels[name],
            posted,
            BOILER_FIGURES[name][1],
            unit=units[name],
            required=name in ("rated_psig", "working_psig"),
            error=errors.get(name, ""),
        )
        for name in BOILER_FIGURES
    ]
    return SetUpGroup(
        key="boiler",
        title=_("Boilers"),
        lines=tuple(
            (b.name, f"{b.get_kind_display()} · {words.boiler_pressure(plant, b)}")
            for b in boilers_of(plant)
        ),
        none_words=_("No boiler yet."),
        add_title=_("Add a boiler"),
        add_word=_("Add this boiler"),
        form=form(
            _what("boiler"),
            text_field("name", _("Name"), posted, required=True, error=errors.get("name", "")),
            _kind(_("Kind"), _choices(BoilerKind), posted, errors),
            *figures,
            text_field("treatment", _("Treatment"), posted, error=errors.get("treatment", "")),
            FieldView(
                name="superheater",
                id="f-superheater",
                label=_("With superheater"),
                kind="checkbox",
                choices=(Choice(value="on", label="", selected=posted.get("superheater") == "on"),),
            ),
            errors=[errors[""]] if "" in errors else (),
        ),
    )


def _kind(
    label: str, choices: Sequence[tuple[str, str]], posted: Posted, errors: Posted
) -> FieldView:
    error = errors.get("kind", "")
    return choice_field("kind", label, choices, posted, required=True, error=error)


def _what(key: str) -> FieldView:
    return FieldView(name="what", id=f"what-{key}", label="", kind="hidden", value=key)


def _points(plant: Plant, posted: Posted, errors: Posted) -> SetUpGroup:
    return SetUpGroup(
        key="point",
        title=_("Sample points"),
        lines=tuple((p.name, str(p.get_kind_display())) for p in points_of(plant)),
        none_words=_("No sample point yet; each boiler brings its own."),
        add_title=_("Add a sample point of the water that boilers share"),
        add_word=_("Add this sample point"),
        form=form(
            _what("point"),
            text_field("name", _("Name"), posted, required=True, error=errors.get("name", "")),
            _kind(
                _("Water"),
                [c for c in _choices(SampleKind) if c[0] != SampleKind.BOILER_WATER],
                posted,
                errors,
            ),
        ),
    )


def _instruments(plant: Plant, posted: Posted, errors: Posted) -> SetUpGroup:
    found = shelf_of(plant).instruments
    return SetUpGroup(
        key="instrument",
        title=_("Instruments"),
        lines=tuple(
            (" ".join(filter(None, [row.name, row.serial])), str(row.get_kind_display()))
            for rows in found.values()
            for row in rows
        ),
        none_words=_("No instrument yet."),
        add_title=_("Register an instrument"),
        add_word=_("Register it"),
        form=form(
            _what("instrument"),
            _kind(_("Kind"), _choices(InstrumentKind), posted, errors),
            text_field("name", _("Name"), posted, required=True, error=errors.get("name", "")),
            text_field("serial", _("Serial number"), posted, error=errors.get("serial", "")),
            text_field(
                "check_due_on",
                _("Next check due on"),
                posted,
                kind="date",
                error=errors.get("check_due_on", ""),
            ),
        ),
    )


def _lots(plant: Plant, posted: Posted, errors: Posted) -> SetUpGroup:
    return SetUpGroup(
        key="lot",
        title=_("Reagents and standard solutions"),
        lines=tuple(
            (label_of(lot), _lot_words(lot))
            for lots in shelf_of(plant).lots.values()
            for lot in lots
        ),
        none_words=_("No lot yet."),
        add_title=_("Register a bottle by its lot"),
        add_word=_("Register this lot"),
        form=form(
            _what("lot"),
            _kind(_("Kind"), _choices(LotKind), posted, errors),
            text_field(
                "name",
                _("Name"),
                posted,
                required=True,
                help=_("What it is and how strong, as on the label."),
                error=errors.get("name", ""),
            ),
            text_field(
                "lot_number",
                _("Lot number"),
                posted,
                required=True,
                error=errors.get("lot_number", ""),
            ),
            text_field(
                "expires_on",
                _("Use before"),
                posted,
                kind="date",
                error=errors.get("expires_on", ""),
            ),
            errors=[errors[""]] if "" in errors else (),
        ),
    )


def _lot_words(lot: Lot) -> str:
    kind = str(lot.get_kind_display())
    if lot.expires_on is None:
        return kind
    return _("%(kind)s, use before %(day)s") % {"kind": kind, "day": words.day(lot.expires_on)}


def _choices(kinds: type[models.TextChoices]) -> list[tuple[str, str]]:
    """Return choices with their words as plain text."""
    return [(value, str(label)) for value, label in kinds.choices]
