"""What titrations share: five ways of entering one, reading it, and its result with the budget.

A method states what it titrates (`Titrimetry`); `titration_modes` gives its modes, `titrate` reads
an entry, and `Titration` works a result out of the end points. The handling facts are common
practice, no source.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

from chemistry import titration_budget as budgets
from chemistry.analytes import Basis
from chemistry.errors import EntryError
from chemistry.methods.base import (
    Entry,
    Field,
    InstrumentFacts,
    InstrumentRole,
    LotRole,
    Mode,
    Step,
    Worked,
)
from chemistry.methods.titrating_fields import (
    AS_CACO3,
    END_POINT,
    PER_DROP_KEYS,
    FieldWords,
    fields_by_mode,
)
from chemistry.titration import per_milliliter
from chemistry.uncertainty import Component
from chemistry.words import gettext_noop

BLANK_SLACK_DROPS = 2.0
"""A blank may take this much more than the sample, one drop for each of two end points; beyond it
one of the two is wrong: rule of our own."""

FINAL_BELOW_INITIAL = gettext_noop(
    "The scale stood at %(start)s mL at the start, so it can't stand at %(end)s mL now. Read both "
    "again. If you filled it up in between, add both parts and use the self-zeroing way."
)
MORE_LEFT = gettext_noop(
    "The syringe showed %(start)s mL at the start, so it can't show %(end)s mL left. Read both "
    "again."
)
LESS_THAN_BEFORE = gettext_noop(
    "This end point comes after the other and is counted from the start too, so it can't be less. "
    "Read it again."
)
BLANK_TOO_LARGE = gettext_noop(
    "The blank took more titrant than the sample. Titrate the blank and the sample again."
)
BOTH_VOLUMES = gettext_noop(
    "Write both volumes, or neither: the sample you took and the sample that the label or card is "
    "made for."
)
PER_DROP_NEEDED = gettext_noop("The label of the bottle says this. It is needed here.")

LESS_THAN_A_DROP = gettext_noop(
    "The sample took no titrant beyond the blank: it is less than what one drop stands for."
)
BELOW_LEAST = gettext_noop("It is less than this test can tell from nothing.")
RAN_OUT_NOTE = gettext_noop(
    "The titrant ran out before the color changed: it is more than this. Take a smaller sample, or "
    "dilute it, and titrate again."
)
ONE_DROP_NOTE = gettext_noop("One drop of titrant is %(drop)s mg/L here.")

Notes = tuple[tuple[str, dict[str, str]], ...]


@dataclass(frozen=True)
class EndPoint:
    """A change of color waited for; `takes_blank` says if the blank is taken off it."""

    key: str
    label: str
    help: str
    takes_blank: bool = True


END = EndPoint(
    "end", gettext_noop("At the end point"), gettext_noop("Where the color changed to stay.")
)


@dataclass(frozen=True)
class Titrimetry:
    """What a method titrates with and for.

    `strength`: the field of the titrant's strength. `mg_per_equivalent`: mg per unit of that
    strength's amount. `result_units`: units that a bottle or card may state, the first one
    preselected; a result is worked in mg/L. `ends` in the order in which they are reached.
    `before` and `after` are the method's own fields. `blank_required`: a blank must be entered,
    except with drops and a card, whose label allows for it.
    """

    strength: Field
    mg_per_equivalent: float
    result_units: tuple[str, ...] = AS_CACO3
    ends: tuple[EndPoint, ...] = (END,)
    before: tuple[Field, ...] = ()
    after: tuple[Field, ...] = ()
    blank_required: bool = False


@dataclass(frozen=True)
class Titration:
    """A titration as read: net volumes (mL or drops), the mg/L that one of them stands for, and
    what its budget needs."""

    net: Mapping[str, float]
    per_unit: float
    given: budgets.Delivery
    half_digits: Mapping[str, float]
    start_half_digit: float
    blank_ends: frozenset[str]
    ran_out: bool
    facts: InstrumentFacts

    def found(self, weights: Mapping[str, float]) -> float:
        """Return mg/L of a sum of end points, each with its weight."""
        return self.per_unit * sum(weight * self.net[key] for key, weight in weights.items())

    @property
    def one_drop(self) -> float:
        """What one drop of titrant stands for, mg/L."""
        return self.per_unit * self.given.drop

    @property
    def one_drop_note(self) -> Notes:
        """The note that says what one drop stands for."""
        return ((ONE_DROP_NOTE, {"drop": f"{self.one_drop:.3g}"}),)

    def result(
        self,
        analyte: str,
        basis: Basis,
        value: float,
        weights: Mapping[str, float],
        *,
        qualifier: str = "",
        notes: Notes = (),
        scale: float = 1.0,
        unit: str = "mg/L",
        more: tuple[Component, ...] = (),
    ) -> Worked:
        """Return a worked result of `value` mg/L times `scale`, in `unit`; `weights` say how it
        hangs on the end points, `more` are the method's own components in `unit`."""
        at = budgets.Sensitivity(
            value=value * scale,
            per_unit=self.per_unit * scale,
            weights=weights,
            half_digits=self.half_digits,
            start_half_digit=self.start_half_digit,
            blank_weight=sum(weights[key] for key in self.blank_ends if key in weights),
        )
        made = budgets.budget(
            at,
            self.given,
            burette_half_width_ml=self.facts.burette_half_width_ml,
            titrant_u_percent=self.facts.titrant_u_percent,
            more=more,
        )
        return Worked(analyte, value * scale, unit, qualifier, basis, made, notes)

    def plain_result(
        self,
        analyte: str,
        basis: Basis,
        end: str,
        *,
        least: float = 0.0,
        notes: Notes = (),
        scale: float = 1.0,
        unit: str = "mg/L",
        more: tuple[Component, ...] = (),
        other_qualifier: str = "",
    ) -> Worked:
        """Return the result of one end point; `<` where nothing was used or it lies below `least`
        mg/L, `>` where the titrant ran out, else `other_qualifier`."""
        value, qualifier = self.found({end: 1.0}), other_qualifier
        floor = max(least, self.one_drop) if self.net[end] <= 0.0 else least
        if self.ran_out:
            qualifier, notes = ">", (*notes, (RAN_OUT_NOTE, {}))
        elif value < floor and not math.isclose(value, floor):
            value, qualifier = floor, "<"
            why = LESS_THAN_A_DROP if self.net[end] <= 0.0 else BELOW_LEAST
            notes = (*notes, (why, {}))
        return self.result(
            analyte,
            basis,
            value,
            {end: 1.0},
            qualifier=qualifier,
            notes=notes,
            scale=scale,
            unit=unit,
            more=more,
        )


def titration_modes(asked: Titrimetry) -> tuple[Mode, ...]:
    """Return the five ways of entering a titration."""
    words = FieldWords(
        ends=tuple((end.key, end.label, end.help) for end in asked.ends),
        strength=asked.strength,
        result_units=asked.result_units,
        blank_required=asked.blank_required,
    )
    return tuple(
        replace(mode, fields=(*asked.before, *mode.fields, *asked.after))
        for mode in fields_by_mode(words)
    )


def titrate(asked: Titrimetry, mode: str, entry: Entry, facts: InstrumentFacts) -> Titration:
    """Return a titration as read. Errors: EntryError, with the field it stands beside."""
    used = _used(asked, mode, entry)
    given = _DELIVERY[mode]
    blank = entry.readings["blank"].value
    net = {
        end.key: difference(used[end.key], blank if end.takes_blank else 0.0) for end in asked.ends
    }
    if min(net.values()) < -BLANK_SLACK_DROPS * given.drop:
        raise EntryError("blank_too_large", BLANK_TOO_LARGE, field="blank")
    for earlier, end in pairwise(asked.ends):
        if used[end.key] < used[earlier.key]:
            raise EntryError("less_than_before", LESS_THAN_BEFORE, field=end.key)
    counted = mode == "drops"
    blanked = bool(entry.readings["blank"].typed.strip())
    return Titration(
        net=net,
        per_unit=_per_unit(asked, mode, entry) * entry.readings["dilution"].value,
        given=given,
        half_digits={end.key: 0.0 if counted else _half(entry, end.key) for end in asked.ends},
        start_half_digit=_half(entry, "start") if "start" in entry.readings else 0.0,
        blank_ends=frozenset(end.key for end in asked.ends if end.takes_blank and blanked),
        ran_out=entry.choices[END_POINT.key] == "ran_out",
        facts=facts,
    )


_DELIVERY = {
    "burette": budgets.BURETTE,
    "self_zeroing": budgets.BURETTE,
    "syringe": budgets.SYRINGE,
    "drops": budgets.DROPS,
    "factor": budgets.BURETTE,
}


def _used(asked: Titrimetry, mode: str, entry: Entry) -> dict[str, float]:
    """Return what each end point took from the start, in mL or drops."""
    read = {end.key: entry.readings[end.key].value for end in asked.ends}
    start = entry.readings["start"].value if mode in ("burette", "syringe") else 0.0
    shows_left = mode == "syringe" and entry.choices["scale"] == "left"
    used = {key: start - value if shows_left else value - start for key, value in read.items()}
    for key, volume in used.items():
        if volume < 0.0:
            params = {"start": f"{start:g}", "end": f"{read[key]:g}"}
            template = MORE_LEFT if shows_left else FINAL_BELOW_INITIAL
            raise EntryError("final_below_initial", template, params, field=key)
    return used


def _per_unit(asked: Titrimetry, mode: str, entry: Entry) -> float:
    """Return the mg/L that one mL or one drop stands for, undiluted."""
    if mode == "factor":
        return entry.readings["factor"].value * _label_share(entry)
    if mode == "drops":
        key = PER_DROP_KEYS[entry.choices["drop_means"]]
        if key not in entry.readings:
            raise EntryError("missing", PER_DROP_NEEDED, field=key)
        if entry.choices["drop_means"] == "result":
            return entry.readings[key].value * _label_share(entry)
        return entry.readings[key].value * _worked_per_milliliter(asked, entry)
    return _worked_per_milliliter(asked, entry)


def _worked_per_milliliter(asked: Titrimetry, entry: Entry) -> float:
    for key in ("strength", "sample_volume"):
        if key not in entry.readings:
            raise EntryError("missing", PER_DROP_NEEDED, field=key)
    strength, sample = entry.readings["strength"].value, entry.readings["sample_volume"].value
    return float(per_milliliter(strength, asked.mg_per_equivalent, sample))


def _label_share(entry: Entry) -> float:
    """Return the volume that a label or card is made for over the volume taken; 1 where neither is
    given."""
    pair = ("label_volume", "sample_volume")
    missing = [key for key in pair if key not in entry.readings]
    if len(missing) == 1:
        raise EntryError("both_volumes", BOTH_VOLUMES, field=missing[0])
    if missing:
        return 1.0
    return entry.readings[pair[0]].value / entry.readings[pair[1]].value


def difference(one: float, other: float) -> float:
    """Return one volume less another, so that 0.60 less 0.50 is 0.10 and not a little less."""
    return round(one - other, 9)


def _half(entry: Entry, key: str) -> float:
    return min(entry.readings[key].resolution, budgets.GRADUATION_ML) / 2.0


MODE_QUESTION = gettext_noop("How do you measure the titrant?")
LOTS = (LotRole("titrant", gettext_noop("Titrant")),)
INSTRUMENTS = (InstrumentRole("burette", gettext_noop("Burette"), "burette", required=False),)

MEASURE_SAMPLE = Step(
    gettext_noop(
        "Rinse cylinder and flask with the sample, shake the flask out well, since what clings in "
        "it is titrated too, then measure the sample. Take less, or dilute it with distilled "
        "water, when it would take more than one filling of titrant."
    )
)
READ_BURETTE = Step(
    gettext_noop(
        "Rinse an empty burette with a little of the titrant, never with water alone. Clear the "
        "tip of air, read the burette at eye level at the bottom of the curve, and write it down "
        "before you start. Hold a dropper bottle upright so that all drops are alike."
    )
)
TITRATE_SLOWLY = Step(
    gettext_noop(
        "Swirl all the time. Go drop by drop as the color begins to linger, stop at the first drop "
        "that changes it to stay, and read again."
    )
)
ACID_BURNS = Step(gettext_noop("Acid and boiler water burn. Keep your eyes covered."), caution=True)
RINSE_AFTER = Step(gettext_noop("Rinse the glassware with distilled water."))
