"""The register of instruments, and the page of one."""

from collections import Counter
from collections.abc import Mapping

from django.utils import formats
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from chemistry import recipes
from chemistry.recipes.base import ENDING_WORDS
from dashboards import words
from dashboards.build.check_rows import check_row
from dashboards.build.forms import choice_field, form, text_field
from dashboards.build.instruments import STANDING_WORDS
from dashboards.screens.fields import FormView
from dashboards.screens.instruments import (
    EventRow,
    InstrumentRow,
    InstrumentScreen,
    InstrumentsScreen,
    RecipeLink,
)
from records import clock
from records.actors import Actor
from records.models import Happening, Instrument, InstrumentCard, Plant
from records.permissions import Deed
from records.selectors.card_entry import unit_label
from records.selectors.cards import card_of
from records.selectors.check_history import checks_of, intervals
from records.selectors.instruments import Standing, standing
from records.selectors.register import (
    InstrumentStand,
    events_of,
    look_backs_by,
    register_of,
    suggestion_of,
)
from records.shifts import local

STATES = {Standing.IN_ORDER: "ok"}


def instruments_screen(actor: Actor) -> InstrumentsScreen:
    """Return the plant's instruments, what is not in order first."""
    stands = register_of(actor.plant)
    return InstrumentsScreen(
        plant_id=str(actor.plant.pk),
        plant_name=actor.plant.name,
        rows=tuple(
            instrument_row(actor.plant, each, can_check=actor.may(Deed.CHECK)) for each in stands
        ),
        counts=tuple(_counts(stands)),
        can_keep=actor.may(Deed.KEEP_INSTRUMENTS),
    )


def _counts(stands: object) -> list[str]:
    every: Counter[Standing] = Counter(each.standing for each in stands)  # type: ignore[attr-defined]
    told = [
        (Standing.OVERDUE, _("%(n)s overdue")),
        (Standing.FAILED, _("%(n)s failed")),
        (Standing.OUT_OF_SERVICE, _("%(n)s out of service")),
    ]
    return [text % {"n": every[key]} for key, text in told if every[key]]


def instrument_row(plant: Plant, stand: InstrumentStand, *, can_check: bool) -> InstrumentRow:
    """Return one instrument as a list shows it."""
    row, waiting = stand.instrument, stand.waiting
    told = ngettext("%(n)s test in doubt", "%(n)s tests in doubt", waiting) % {"n": waiting}
    return InstrumentRow(
        instrument_id=str(row.pk),
        name=" ".join(filter(None, [row.name, row.serial])),
        kind=str(row.get_kind_display()),
        place=stand.card.place if stand.card else "",
        state=STATES.get(stand.standing, stand.standing.value),
        state_word=_(STANDING_WORDS[stand.standing]),
        last_text=_last(plant, stand),
        due_text=_day(stand.due_on),
        waiting_text=told if waiting else "",
        look_back_id=str(stand.look_backs[0].pk) if stand.look_backs else "",
        plant_id=str(plant.pk),
        plant_name=plant.name,
        can_check=can_check and bool(recipes.for_kind(row.kind)),
    )


def _last(plant: Plant, stand: InstrumentStand) -> str:
    if stand.last is None:
        return _("never checked")
    day = _day(local(plant, stand.last.done_at).date())
    return f"{day}: {_(ENDING_WORDS[stand.last.ending])}"


def _day(day: object) -> str:
    return formats.date_format(day, "j M Y") if day else ""  # type: ignore[arg-type]


def instrument_screen(
    actor: Actor,
    instrument: Instrument,
    posted: Mapping[str, str] | None = None,
    errors: Mapping[str, str] | None = None,
) -> InstrumentScreen:
    """Return one instrument with its history."""
    plant, card = actor.plant, card_of(instrument)
    stands = standing(instrument, local(plant, clock.now()).date())
    checks, backs = checks_of(instrument), look_backs_by(instrument)
    known = recipes.for_kind(instrument.kind)
    suggested = None
    if stands in (Standing.IN_ORDER, Standing.OVERDUE):  # else it is not a matter of when
        suggested = next(
            (found for each in known if (found := suggestion_of(checks, card, each.key))), None
        )
    title = ""
    if suggested is not None:
        days = round(suggested.days)
        title = ngettext(
            "By its checks: again after %(n)s day", "By its checks: again after %(n)s days", days
        ) % {"n": days}
    return InstrumentScreen(
        plant_id=str(plant.pk),
        instrument_id=str(instrument.pk),
        name=instrument.name,
        kind=str(instrument.get_kind_display()),
        state=STATES.get(stands, stands.value),
        state_word=_(STANDING_WORDS[stands]),
        facts=_facts(instrument, card),
        recipes=tuple(
            RecipeLink(key=each.key, name=_(each.name), purpose=_(each.purpose)) for each in known
        ),
        checks=tuple(check_row(plant, each, backs.get(each.pk)) for each in checks),
        events=tuple(
            EventRow(
                when=words.moment(plant, each.happened_at),
                word=str(each.get_kind_display()),
                why=each.why,
                by=each.by_name,
            )
            for each in events_of(instrument)
        ),
        event_form=_event_form(actor, instrument, posted or {}, errors or {}),
        can_keep=actor.may(Deed.KEEP_INSTRUMENTS),
        can_check=actor.may(Deed.CHECK) and bool(known),
        interval_title=title,
        interval_reasons=tuple(words.told(*each) for each in suggested.reasons)
        if suggested
        else (),
    )


def _facts(instrument: Instrument, card: InstrumentCard | None) -> tuple[tuple[str, str], ...]:
    known = recipes.for_kind(instrument.kind)
    facts = [
        (_("Serial number"), instrument.serial),
        (_("Next check due on"), _day(instrument.check_due_on) or _("not set")),
    ]
    if known:
        full, quick = intervals(card, known[0].key)
        facts.append((_("Checked every"), _("%(n)s days") % {"n": f"{full:g}"}))
        if quick:
            facts.append((_("Quick verification every"), _("%(n)s days") % {"n": f"{quick:g}"}))
    if card is not None:
        unit = unit_label(card.unit)
        ends = (card.range_low, card.range_high)
        span = _("%(low)s to %(high)s %(unit)s") % {"low": ends[0], "high": ends[1], "unit": unit}
        facts += [
            (_("Place"), card.place),
            (_("Range"), span if any(ends) else ""),
            (_("Resolution"), f"{card.resolution} {unit}".strip() if card.resolution else ""),
            (_("Cell constant"), f"{card.cell_constant} 1/cm" if card.cell_constant else ""),
            (_("Correction by its certificate"), _correction(card)),
            (_("Certificate"), card.certificate),
            (_("Note"), card.note),
        ]
    return tuple((label, text) for label, text in facts if text)


def _correction(card: InstrumentCard) -> str:
    if not card.correction:
        return ""
    return f"{card.correction} ± {card.correction_expanded or '0'}"


def _event_form(
    actor: Actor, instrument: Instrument, posted: Mapping[str, str], errors: Mapping[str, str]
) -> FormView | None:
    if not actor.may(Deed.CHECK):
        return None
    offered = [Happening.NOTED]
    if instrument.in_service:
        offered.insert(0, Happening.OUT_OF_SERVICE)
    if actor.may(Deed.KEEP_INSTRUMENTS):
        offered += [Happening.MOVED, Happening.REPAIRED]
        offered += [] if instrument.in_service else [Happening.BACK_IN_SERVICE]
    return form(
        choice_field(
            "kind",
            _("What happened?"),
            [(each.value, str(each.label)) for each in offered],
            posted,
            kind="radio",
            required=True,
            error=errors.get("kind", ""),
        ),
        text_field(
            "happened_at",
            _("When?"),
            posted,
            kind="datetime-local",
            value=words.for_input(actor.plant, clock.now()),
            required=True,
            error=errors.get("happened_at", ""),
        ),
        text_field("why", _("Why?"), posted, required=True, error=errors.get("why", "")),
        key=posted.get("key", ""),
        errors=[errors[""]] if "" in errors else (),
    )
