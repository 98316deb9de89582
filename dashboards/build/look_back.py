"""What a failed check reaches: results with their what-ifs, and the form that decides."""

from collections.abc import Collection, Mapping, Sequence

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext

from chemistry.analytes import ANALYTES
from chemistry.lookback import SUPPOSITION_WORDS
from chemistry.verdict import SIDE_WORDS
from dashboards import words
from dashboards.build.forms import choice_field, form, text_field
from dashboards.screens.fields import FieldView, FormView
from dashboards.screens.look_back import LookBackScreen, ReachedRow, Supposition
from records.actors import Actor
from records.models import Disposition, LogSheet, LookBack, Outcome, Plant
from records.permissions import Deed
from records.selectors.look_backs import (
    Reached,
    Supposed,
    decisions_of,
    reached_by,
    reasons_of,
    sheets_touched,
    supposed,
)

ALL, PICKED = "all", "picked"
MOST_ROWS = 200
FAR = gettext_noop("far from the level of the check, which says little about it")
OUTCOME_WORDS = {
    Outcome.STANDS: gettext_noop("It stands: the number is trusted as it is"),
    Outcome.AMENDED: gettext_noop("It was amended: cause and correction are known"),
    Outcome.VOID: gettext_noop("Void: the number is not to be used"),
}


def look_back_screen(
    actor: Actor,
    back: LookBack,
    posted: Mapping[str, str] | None = None,
    errors: Mapping[str, str] | None = None,
    picked: Collection[str] = (),
) -> LookBackScreen:
    """Return a look-back, those results first whose verdict would change."""
    plant, sent, told = actor.plant, posted or {}, errors or {}
    reached, decided = reached_by(back), decisions_of(back)
    groups = supposed(back, reached)
    rows = _rows(plant, groups, decided)
    waiting = [row for row in rows if not row.decided_text]
    waiting.sort(key=lambda row: not row.changes)
    left_out = len(waiting) - MOST_ROWS
    more = _("%(n)s more are not listed; a decision about all reaches them too.")
    may_decide = actor.may(Deed.DISPOSE) and waiting
    return LookBackScreen(
        plant_id=str(plant.pk),
        look_back_id=str(back.pk),
        instrument_id=str(back.instrument_id),
        title=_("%(name)s failed its check") % {"name": back.instrument.name},
        facts=_facts(plant, back),
        reasons=tuple(words.told(*each) for each in reasons_of(back)),
        summary=_summary(len(rows), waiting),
        waiting=tuple(waiting[:MOST_ROWS]),
        decided=tuple(row for row in rows if row.decided_text)[:MOST_ROWS],
        refused=tuple(_refused(each) for each in groups if each.refused is not None),
        left_out_text=more % {"n": left_out} if left_out > 0 else "",
        sheets=tuple((str(each.pk), _sheet(each)) for each in sheets_touched(plant, reached)),
        decisions=tuple(decision_words(plant, each) for each in decided),
        form=decide_form(sent, told) if may_decide else None,
        scope=_scope(sent) if may_decide else None,
        picked=tuple(picked),
    )


def _facts(plant: Plant, back: LookBack) -> tuple[tuple[str, str], ...]:
    since = words.moment(plant, back.since) if back.since else _("no check of it ever passed")
    return (
        (_("Failed at"), words.moment(plant, back.until)),
        (_("Checked by"), back.check_of.by_name),
        (_("Last pass before it"), since),
    )


def _summary(count: int, waiting: Sequence[ReachedRow]) -> str:
    if not count:
        return _("It reaches no result.")
    reached = ngettext("It reaches %(n)s result", "It reaches %(n)s results", count) % {"n": count}
    changes = sum(row.changes for row in waiting)
    left = _("%(left)s wait for a decision, of which %(changes)s might have had another verdict")
    return f"{reached}; {left % {'left': len(waiting), 'changes': changes}}."


def _rows(
    plant: Plant, groups: Sequence[Supposed], decided: Sequence[Disposition]
) -> list[ReachedRow]:
    rows = [
        (each.drawn_at, _row(plant, group, place, each, decided))
        for group in groups
        for place, each in enumerate(group.reached)
    ]
    rows.sort(key=lambda pair: pair[0], reverse=True)
    return [row for _drawn_at, row in rows]


def _row(
    plant: Plant, group: Supposed, place: int, each: Reached, decided: Sequence[Disposition]
) -> ReachedRow:
    shown = words.plant_unit(plant, each.unit)
    what_ifs = tuple(
        Supposition(
            title=_(SUPPOSITION_WORDS[found.supposition]),
            text=_supposed(plant, each, float(found.values[place]), str(found.after[place])),
            other=bool(found.changed[place]),
        )
        for found in group.what_ifs
    )
    decision = each.decision(decided)
    value, spread = words.with_spread(each.value, each.expanded, each.unit, shown)
    return ReachedRow(
        measurement_id=str(each.measurement),
        name=_(ANALYTES[each.analyte].name),
        drawn_text=words.moment(plant, each.drawn_at),
        point_name=each.point,
        value_text=f"{each.qualifier}{value} ± {spread} {words.unit_label(shown)}",
        side_word=_(SIDE_WORDS[each.side]),
        what_ifs=what_ifs,
        changes=any(found.other for found in what_ifs),
        decided_text=decision_words(plant, decision) if decision else "",
        note="" if each.level_told else _(FAR),
    )


def _supposed(plant: Plant, each: Reached, value: float, side: str) -> str:
    """Return a supposed value with as many decimals as the result has, and its side."""
    decimals = len(each.value.partition(".")[2])
    shown = words.plant_unit(plant, each.unit)
    text = words.in_unit(f"{value:.{decimals}f}", each.unit, shown)
    return f"{text} {words.unit_label(shown)}, {_(SIDE_WORDS[side]).lower()}"


def _refused(group: Supposed) -> str:
    assert group.refused is not None
    return f"{_(ANALYTES[group.analyte].name)}: {words.sentence(group.refused)}"


def decision_words(plant: Plant, row: Disposition) -> str:
    said = {
        "what": str(row.get_outcome_display()),
        "why": row.reason,
        "name": row.by_name,
        "at": words.moment(plant, row.at),
    }
    if row.measurement_id is None:
        return _("%(what)s, with all others: %(why)s (%(name)s, %(at)s)") % said
    return _("%(what)s: %(why)s (%(name)s, %(at)s)") % said


def _sheet(sheet: LogSheet) -> str:
    return f"{words.day(sheet.shift_date)}, {sheet.shift_name}"


def decide_fields(posted: Mapping[str, str], errors: Mapping[str, str]) -> list[FieldView]:
    """Return what a decision asks: what becomes of it, and why."""
    return [
        choice_field(
            "outcome",
            _("What becomes of it?"),
            [(value.value, _(label)) for value, label in OUTCOME_WORDS.items()],
            posted,
            kind="radio",
            required=True,
            error=errors.get("outcome", ""),
        ),
        text_field(
            "reason",
            _("Why?"),
            posted,
            required=True,
            help=_("What shows that the number can, or can't, be trusted."),
            error=errors.get("reason", ""),
        ),
    ]


def _scope(posted: Mapping[str, str]) -> FieldView:
    choices = [
        (PICKED, _("The results ticked below")),
        (ALL, _("All that still wait, listed or not")),
    ]
    label = _("About which results?")
    return choice_field("scope", label, choices, posted, kind="radio", value=PICKED, required=True)


def decide_form(posted: Mapping[str, str], errors: Mapping[str, str]) -> FormView:
    return form(
        *decide_fields(posted, errors),
        key=posted.get("key", ""),
        errors=[errors[""]] if "" in errors else (),
    )
