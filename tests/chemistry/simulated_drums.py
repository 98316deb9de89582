"""Invented boilers of 50 t and 20 t/h, sampled three times a day, for the tests of the drum filter.

Feed, dosing and load wander, the true blowdown is not the logged one, one result in ten is missing,
results scatter by 5 %. The truth is worked hour by hour, by a solution of its own.
"""

from dataclasses import dataclass

import numpy as np

from chemistry.drum import Result, Setting

MASS_KG = 50_000.0
SOLUTES = ("conductivity", "chloride", "phosphate")
SEAWATER = {"chloride": 19383.0, "phosphate": -590.0, "conductivity": 43000.0}
"""Change of boiler water per kg/kg, as chemistry.ingress_signature has it."""
RIVER = {"chloride": 28.0, "phosphate": -78.0, "conductivity": 350.0}
"""The same of an invented river."""
USUAL_U = {"conductivity": 60.0, "chloride": 1.0, "phosphate": 1.0}


@dataclass(frozen=True)
class Story:
    """A log, the true concentrations at each draw's hour, and the true blowdown."""

    log: list
    truth: dict
    blowdown: float


@dataclass(frozen=True)
class Plot:
    """What happens from an hour on: `leak` comes in, phosphate hides at `hideout` 1/h."""

    leak: tuple = ()
    leak_kg_h: float = 0.0
    hideout: float = 0.0
    from_h: float = 168.0


NOTHING = Plot()


def story(seed, days, plot=NOTHING, *, noise=0.05, restless=None):
    """Return what a boiler did. `noise`: standard, of each result, stated as 5 % whatever it is;
    `restless`: standard, of feed and dosing (None: 3 to 12 %)."""
    rng = np.random.default_rng(seed)
    feed = np.array([60.0, 1.0, 0.0]) * np.exp(0.3 * rng.standard_normal(3))
    logged = rng.uniform(700.0, 1500.0)
    blowdown = logged * np.exp(0.2 * rng.standard_normal())
    pump = 20.0 * logged
    restless = rng.uniform(0.03, 0.12) if restless is None else restless
    memory = rng.uniform(24.0, 72.0)
    astray = restless * rng.standard_normal(3)
    water = feed * 20000.0 / logged + feed + np.array([0.0, 0.0, 20.0])
    water = water * np.exp(0.2 * rng.standard_normal(3))
    draws = [8.0 * turn + 4.0 + rng.uniform(-1.0, 1.0) for turn in range(3 * days)]
    leak = np.array([plot.leak.get(each, 0.0) for each in SOLUTES]) if plot.leak else np.zeros(3)
    log, truth, load = [], {}, 0.0
    for hour in range(24 * days):
        if hour % 8 == 0:
            load = 20000.0 * rng.uniform(0.85, 1.1)
            fed = dict(zip(SOLUTES, feed.tolist(), strict=True))
            log.append(Setting(float(hour), load, logged, fed, {"phosphate": pump}))
        keeps = np.exp(-1.0 / memory)
        astray = astray * keeps + restless * np.sqrt(1.0 - keeps**2) * rng.standard_normal(3)
        on = hour >= plot.from_h
        gained = (feed * (load + blowdown) + np.array([0.0, 0.0, pump])) * (1.0 + astray)
        gained = gained + on * plot.leak_kg_h * leak
        lost = blowdown + on * np.array([0.0, 0.0, plot.hideout * MASS_KG])
        for draw in (each for each in draws if hour <= each < hour + 1):
            here = _after(water, gained, lost, draw - hour)
            truth[draw] = dict(zip(SOLUTES, here.tolist(), strict=True))
            log.extend(_results(rng, draw, here, noise))
        water = np.maximum(_after(water, gained, lost, 1.0), 0.0)
    return Story(log, truth, float(blowdown))


def _after(water, gained, lost, hours):
    settled = gained / lost
    return settled + (water - settled) * np.exp(-lost * hours / MASS_KG)


def _results(rng, draw, water, noise):
    for solute, held in zip(SOLUTES, water, strict=True):
        if rng.uniform() < 0.1:
            continue
        value = max(float(held * (1.0 + noise * rng.standard_normal())), 1e-3)
        yield Result(draw, solute, value, 0.05 * value)
