"""How the demo's testers read their instruments: raw readings with the errors of both."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from chemistry import methods
from chemistry.methods.base import InstrumentRole
from records.demo.story import Story
from records.demo.told import Told
from records.models import Instrument, Lot
from records.selectors.bench import TestEntry

Texts = dict[str, str]
# Drawn and burette's share of error: mL that an eye misses, invented.
EYE_ML = 0.03
SAMPLE_ML = 50.0
# Above this a tester takes a fifth of the sample, to need one filling of the burette: invented.
MUCH_ALKALI = 400.0


@dataclass(frozen=True, kw_only=True)
class Look:
    """Who reads, when, at which point: what the readings depend on beside the water."""

    who: Told
    at: datetime
    point: str
    instead: Mapping[str, str]


class Bench:
    """The instruments of one plant. `use` is the first of each kind, until another one is used."""

    def __init__(self, told: Told, story: Story, dice: np.random.Generator) -> None:
        self._told, self._story, self._dice = told, story, dice
        self._units = told["units"]
        rows = Instrument.objects.filter(name__in=[each["name"] for each in told["instruments"]])
        self._rows = {row.name: row for row in rows}
        self._errors = {e["name"]: e.get("error", 0.0) / 100.0 for e in told["instruments"]}
        self._use: dict[str, str] = {}
        for each in told["instruments"]:
            self._use.setdefault(each["kind"], each["name"])
        lots = {row.lot_number: str(row.pk) for row in Lot.objects.all()}
        self._lots = {tuple(e["for"]): lots[e["lot_number"]] for e in told["lots"] if "for" in e}
        self._last: dict[tuple[str, str], str] = {}

    def use(self, spare: str) -> Instrument:
        """Use another instrument of its kind from now on."""
        row = self._rows[spare]
        self._use[row.kind] = spare
        return row

    def instrument(self, name: str) -> Instrument:
        return self._rows[name]

    def test(self, method: str, water: Mapping[str, float], look: Look) -> TestEntry:
        """Return one test as it was typed."""
        mode, typed, units = READERS[method](self, water, look)
        used: Texts = {}
        for role in methods.latest(method).means:
            if isinstance(role, InstrumentRole):
                name = look.instead.get(role.kind) or self._use.get(role.kind, "")
                used |= {role.key: str(self._rows[name].pk)} if name else {}
            elif (method, role.key) in self._lots:
                used[role.key] = self._lots[(method, role.key)]
        return TestEntry(
            method=method,
            version="1",
            mode=mode,
            typed=typed,
            units=units,
            instruments=used,
            reasons={"cell": look.instead["reason"]} if "reason" in look.instead else {},
        )

    def shown(self, kind: str, value: float, look: Look, spread: float) -> float:
        """Return what an instrument of a kind shows for a value."""
        name = look.instead.get(kind) or self._use[kind]
        off = 1.0 + self._errors[name] + self._story.drift(name, look.at)
        return float(value * off * self._dice.normal(1.0, spread))

    def warm(self) -> tuple[str, str]:
        """Return the sample's temperature as typed, and its unit."""
        celsius = self._dice.normal(25.6, 0.8)
        unit = self._units["temperature_unit"]
        return (f"{celsius * 9 / 5 + 32:.0f}" if unit == "degF" else f"{celsius:.1f}"), unit

    def burette(self, milliliters: float) -> str:
        return f"{max(milliliters + self._dice.normal(0.0, EYE_ML), 0.0):.2f}"

    def conductivity(self, water: Mapping[str, float], look: Look) -> tuple[str, Texts, Texts]:
        read = self.shown("conductivity_meter", water["conductivity"], look, 0.006)
        typed = {"reading": self._figure(read, look), "neutralized": "no"}
        typed["temperature"], unit = self.warm()
        units = {"reading": self._units["conductivity_unit"], "temperature": unit}
        if look.who.get("dial"):
            typed["dial"], units["dial"] = typed["temperature"], unit
            return "set_on_meter", typed, units
        return "automatic", typed, units

    def _figure(self, read: float, look: Look) -> str:
        """Write a figure down: a sloppy tester copies the last one, or rounds it coarsely."""
        place = (look.who["username"], look.point)
        said = f"{float(f'{read:.3g}'):g}"
        if self._story.sloppy(place[0], look.at, place[1]) and read > 200:
            copied = place in self._last and self._dice.random() < 0.6
            said = self._last[place] if copied else f"{round(read / 50) * 50:g}"
        self._last[place] = said
        return said

    def ph(self, water: Mapping[str, float], look: Look) -> tuple[str, Texts, Texts]:
        warm, unit = self.warm()
        typed = {
            "reading": f"{water['ph'] + self._dice.normal(0.0, 0.03):.2f}",
            "temperature": warm,
            "buffer_low": "carbonate",
            "buffer_high": "calcium_hydroxide",
        }
        return "automatic", typed, {"reading": "pH", "temperature": unit}

    def alkalinity(self, water: Mapping[str, float], look: Look) -> tuple[str, Texts, Texts]:
        taken = SAMPLE_ML if water["m_alkalinity"] < MUCH_ALKALI else SAMPLE_ML / 5
        per_ml = 0.02 * 50_040.0 / taken  # mg/L as CaCO3 of one mL of 0.02 N acid, as the method
        p_end = self.burette(water["p_alkalinity"] / per_ml)
        m_end = self.burette(water["m_alkalinity"] / per_ml)
        typed = {"p_end": p_end, "m_end": m_end, "sample_volume": f"{taken:g}", "others": "yes"}
        return "self_zeroing", typed, {}

    def phosphate(self, water: Mapping[str, float], look: Look) -> tuple[str, Texts, Texts]:
        read = self.shown("photometer", water["phosphate"], look, 0.015)
        return "photometer", {"reading": f"{read:.1f}"}, {"reading": "mg/L"}

    def sulfite(self, water: Mapping[str, float], look: Look) -> tuple[str, Texts, Texts]:
        per_ml = 0.0125 * 40_030.0 / SAMPLE_ML  # mg/L as SO3 of one mL of 0.0125 N, as the method
        warm, unit = self.warm()
        typed = {"end": self.burette(water["sulfite"] / per_ml), "temperature": warm}
        return "self_zeroing", {**typed, "sample_volume": f"{SAMPLE_ML:g}"}, {"temperature": unit}

    def hardness(self, water: Mapping[str, float], look: Look) -> tuple[str, Texts, Texts]:
        drops = round(max(water["total_hardness"] + self._dice.normal(0.0, 0.2), 0.0))
        typed = {"end": f"{drops}", "per_drop_result": "1", "drop_means": "result"}
        return "drops", typed, {}

    def chloride(self, water: Mapping[str, float], look: Look) -> tuple[str, Texts, Texts]:
        per_ml = 0.0141 * 35_453.0 / SAMPLE_ML  # mg/L of one mL of 0.0141 N silver, as the method
        treated = "sulfite" in water
        typed = {
            "ph_ready": "yes",
            "sulfite": "destroyed" if treated else "none",
            "phosphate": "bound" if treated else "none",
            "end": self.burette(water["chloride"] / per_ml + 0.2),
            "blank": "0.2",
            "sample_volume": f"{SAMPLE_ML:g}",
        }
        return "self_zeroing", typed, {}


READERS: dict[str, Callable[[Bench, Mapping[str, float], Look], tuple[str, Texts, Texts]]] = {
    "conductivity": Bench.conductivity,
    "ph": Bench.ph,
    "alkalinity": Bench.alkalinity,
    "phosphate": Bench.phosphate,
    "sulfite": Bench.sulfite,
    "hardness_total": Bench.hardness,
    "chloride": Bench.chloride,
}
