"""What the water of each sample point really is at any time."""

import math
from datetime import datetime, timedelta

from records.demo.drum import Drum
from records.demo.scene import Scene
from records.demo.story import Story
from records.models import SamplePoint

MG_PER_EQUIVALENT = 50_040.0  # of CaCO3, mg: half its molar mass, IUPAC 2021
# Part of the hydroxide that an electrode sees in such water: invented.
ACTIVE = 0.85


class Waters:
    """The drums of one plant and the water that they share."""

    def __init__(self, scene: Scene, story: Story) -> None:
        self._scene, self._story = scene, story
        self._told = {each["name"]: each for each in scene.told["boilers"]}
        self._shared = {each["name"]: each for each in scene.told["points"]}
        self.drums = {name: Drum(told, scene.begin) for name, told in self._told.items()}
        self._plant()

    def _plant(self) -> None:
        """Turn the valves and stop the pumps as the story tells."""
        at = self._scene.instant
        for told in self._story.of("valve"):
            self.drums[told["boiler"]].plan_flow(at(told["days"]), told["to_kg_h"])
        for told in self._story.of("chemical_out"):
            self.drums[told["boiler"]].plan_supply(at(told["days"]), told["analyte"], 0.0)
        for told in self._story.of("raw_water"):
            begin, hours = at(told["days"]), timedelta(hours=told["hours"])
            for name in told["boilers"]:
                drum = self.drums[name]
                for what in ("conductivity", "chloride"):
                    drum.plan_supply(begin, what, told["times"])
                    drum.plan_supply(begin + hours, what, 1.0)

    def at(self, point: SamplePoint, instant: datetime) -> dict[str, float]:
        """Return what a sample drawn now truly holds, by analyte."""
        if point.boiler is not None:
            return _with_ph(self.drums[point.boiler.name].at(instant))
        told = self._shared[point.name]
        found: dict[str, float] = dict(told["holds"])
        if "of" in told:
            found["conductivity"] = self.drums[told["of"]].feed_at(instant)
        if self._story.leaking(instant, point):
            found |= told["leaking"]
        wander = self._scene.dice.normal(1.0, 0.02)
        return {what: value * wander for what, value in found.items()}

    def lay_up(self, boiler: str) -> None:
        self.drums[boiler].stand(self._told[boiler]["layup"])

    def light_off(self, boiler: str) -> None:
        self.drums[boiler].fire(self._told[boiler]["holds"])


def _with_ph(water: dict[str, float]) -> dict[str, float]:
    """Add the pH at 25 °C that goes with the hydroxide, 2P - M (Standard Methods 2320 B, from
    memory), at a pKw of 14.0."""
    hydroxide = max(2.0 * water["p_alkalinity"] - water["m_alkalinity"], 2.0)
    return {**water, "ph": 14.0 + math.log10(ACTIVE * hydroxide / MG_PER_EQUIVALENT)}
