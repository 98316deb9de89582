"""Texts that people read: times on the plant's clock, spans, figures in the plant's units."""

from datetime import datetime, timedelta
from decimal import Decimal

from django.urls import reverse
from django.utils import formats
from django.utils.translation import gettext as _

from chemistry import units
from chemistry.uncertainty import round_to_uncertainty
from records import clock
from records.models import Boiler, Plant, SamplePoint, State
from records.shifts import local
from records.words import sentence as sentence
from records.words import told as told


def time_of(plant: Plant, instant: datetime) -> str:
    """Return the time of day at the plant, with the day where it is not today's."""
    here = local(plant, instant)
    today = local(plant, clock.now()).date()
    shape = "H:i" if here.date() == today else "D j M, H:i"
    return formats.date_format(here, shape)


def moment(plant: Plant, instant: datetime) -> str:
    """Return day, date and time at the plant."""
    return formats.date_format(local(plant, instant), "D j M Y, H:i")


def day(value: object) -> str:
    """Return a date in words."""
    return formats.date_format(value, "l, j F Y")  # type: ignore[arg-type]


def for_input(plant: Plant, instant: datetime) -> str:
    """Return an instant as a date-and-time field holds it, on the plant's clock."""
    return local(plant, instant).strftime("%Y-%m-%dT%H:%M")


def span(length: timedelta) -> str:
    """Return a length of time in hours and minutes."""
    minutes = max(int(length.total_seconds() // 60), 0)
    if minutes >= 2880:
        return _("%(days)s days") % {"days": minutes // 1440}
    hours, rest = divmod(minutes, 60)
    if not hours:
        return _("%(minutes)s min") % {"minutes": rest}
    if not rest:
        return _("%(hours)s h") % {"hours": hours}
    return _("%(hours)s h %(minutes)s min") % {"hours": hours, "minutes": rest}


def late(length: timedelta) -> str:
    """Return how late something is, or "" where it is not."""
    return _("%(span)s late") % {"span": span(length)} if length > timedelta(minutes=1) else ""


def unit_label(unit: str) -> str:
    """Return a unit as it is printed."""
    return units.label(unit)


def plant_unit(plant: Plant, unit: str) -> str:
    """Return the unit in which this plant reads a quantity that is kept in `unit`."""
    wanted = {
        "uS/cm": plant.conductivity_unit,
        "kg/h": plant.mass_flow_unit,
        "kg": plant.mass_flow_unit.split("/")[0],
        "degC": plant.temperature_unit,
    }
    return wanted.get(unit, unit)


def in_unit(text: str, unit: str, wanted: str) -> str:
    """Return a figure in another unit, its digits kept; as it is where nothing changes."""
    if not text or units.convert(1.0, unit, wanted) == 1.0 == units.convert(2.0, unit, wanted) / 2:
        return text
    typed = Decimal(text)
    value = units.convert(float(typed), unit, wanted)
    digits = max(len(typed.as_tuple().digits), 2)
    return format(Decimal(f"{value:.{digits - 1}e}"), "f")


def with_spread(value: str, expanded: str, unit: str, wanted: str) -> tuple[str, str]:
    """Return a result and its uncertainty in another unit, rounded to that uncertainty anew.

    The uncertainty of a temperature is a difference, not a point on the scale.
    """
    if in_unit("1", unit, wanted) == "1" or not expanded:
        return in_unit(value, unit, wanted), expanded
    spread = units.convert_step(float(expanded), unit, wanted)
    return round_to_uncertainty(units.convert(float(value), unit, wanted), spread)


def figure(value: float, digits: int = 3) -> str:
    """Return a computed figure with as many digits as mean something, in the reader's manner."""
    rounded = Decimal(f"{value:.{digits - 1}e}")
    places = max(-int(rounded.as_tuple().exponent), 0)
    return formats.number_format(rounded, decimal_pos=places, use_l10n=True, force_grouping=True)


def boiler_pressure(plant: Plant, boiler: Boiler | None) -> str:
    """Return a boiler's working and rated pressure, or "" for water of all boilers."""
    if boiler is None:
        return ""
    unit = {"psi": "psig", "bar": "barg", "kPa": "kPag"}.get(plant.pressure_unit, "psig")
    working = figure(units.convert(boiler.working_psig, "psig", unit), 3)
    rated = figure(units.convert(boiler.rated_psig, "psig", unit), 3)
    return _("%(working)s %(unit)s, rated %(rated)s") % {
        "working": working,
        "rated": rated,
        "unit": unit,
    }


def place(point: SamplePoint) -> tuple[str, str]:
    """Return the two names of a sample point: of the boiler, and of its water."""
    kind = str(point.get_kind_display())
    return (point.boiler.name, kind) if point.boiler else (point.name, kind)


def state_word(state: str) -> str:
    """Return a boiler state in words."""
    return str(State(state).label) if state else ""


def with_anchor(name: str, anchor: str, *keys: object) -> str:
    """Return the address of a part of a page."""
    return f"{reverse(name, args=keys)}#{anchor}"
