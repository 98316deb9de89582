"""Published limit sets as the program form shows them: which fit, and what they say."""

from collections.abc import Sequence

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from chemistry import units
from chemistry.limit_sets import LimitLine
from dashboards import words
from dashboards.build.program_words import span_words
from dashboards.build.results import analyte_name, basis_words
from dashboards.forms.program import Line
from dashboards.forms.program_press import Laid, fitting_sets, set_name
from dashboards.screens.program_edit import LaidView, ProposalView
from records.limit_library import limit_sets, line_of, set_of
from records.models import Boiler, Plant

NONE_KNOWN = gettext_noop(
    "This set knows no limit at this pressure. None is guessed: results stay “not judged”."
)
SILENT = gettext_noop("It knows nothing at this pressure of: %(names)s. None is guessed.")


def set_choices(boilers: Sequence[Boiler]) -> list[tuple[str, str]]:
    """Return the sets that fit, each for the pressure of a boiler."""
    many = len(boilers) > 1
    return [
        (
            set_name(each, boiler),
            _("%(set)s, for %(boiler)s") % {"set": _(each.title), "boiler": boiler.name}
            if many
            else _(each.title),
        )
        for boiler in boilers
        for each in fitting_sets(boiler)
    ]


def sets_left_out(boilers: Sequence[Boiler]) -> tuple[str, ...]:
    """Return the titles of the sets that are for other kinds of boiler."""
    fit = {each.key for boiler in boilers for each in fitting_sets(boiler)}
    return tuple(_(each.title) for each in limit_sets() if each.key not in fit)


def laid_view(plant: Plant, laid: Laid) -> LaidView:
    """Return what a set said that was laid beside the form."""
    told = []
    if laid.added:
        told.append(_("Added to the form: %(names)s.") % {"names": _names(laid.added)})
    if laid.beside:
        names = _names(laid.beside)
        told.append(_("Beside the limits that stand there: %(names)s.") % {"names": names})
    known = bool(laid.added or laid.beside)
    if known and laid.silent:
        told.append(_(SILENT) % {"names": _names(laid.silent)})
    edition = "" if laid.chosen.edition == "none" else laid.chosen.edition
    pressure = words.boiler_pressure(plant, laid.boiler)
    title = _("%(set)s: %(boiler)s, %(pressure)s") % {
        "set": _(laid.chosen.title),
        "boiler": laid.boiler.name,
        "pressure": pressure,
    }
    return LaidView(
        title=title,
        source=laid.chosen.source,
        edition=edition,
        confidence=laid.chosen.confidence,
        told=tuple(told),
        none_words="" if known else _(NONE_KNOWN),
    )


def _names(analytes: Sequence[str]) -> str:
    return ", ".join(map(analyte_name, analytes))


def line_text(line: LimitLine) -> str:
    """Return what a line of a set says, with its unit."""
    unit = units.label(line.unit)
    if line.choose_within:
        low, high = (f"{end:g}" for end in line.choose_within)
        told = _("a maximum between %(low)s and %(high)s %(unit)s, set by steam purity")
        return told % {"low": low, "high": high, "unit": unit}
    low, high = ("" if end is None else f"{end:g}" for end in (line.low, line.high))
    return f"{span_words(low, high)} {unit}" if low or high else _("no figure is given")


def span_text(line: Line) -> str:
    """Return the span from which a maximum is to be chosen, where the limit's set leaves one."""
    published = line_of(line.get("of", ""))
    if published is None or published.choose_within is None:
        return ""
    return _("The set gives %(what)s. Write the one you choose.") % {"what": line_text(published)}


def proposals_of(name: str, line: Line) -> tuple[ProposalView, ...]:
    """Return what sets say beside a limit, each with the button that takes it over."""
    found = []
    for reference in line.get("beside", "").split():
        published, chosen = line_of(reference), set_of(reference.partition(":")[0])
        if published is None or chosen is None:
            continue
        about = ", ".join(filter(None, (line_text(published), *basis_words(published.basis.text))))
        found.append(
            ProposalView(
                text=about,
                set_title=_(chosen.title),
                source=published.source or chosen.source,
                confidence=published.kind,
                note=": ".join(filter(None, (published.condition, published.note))),
                button=f"use.{name[1:]}.{reference}",
            )
        )
    return tuple(found)
