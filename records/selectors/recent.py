"""The last results of a point: what a new one is held beside on entry."""

from dataclasses import dataclass

from chemistry.plausibility import MOST_RECENT
from records.selectors.past import PastDraws


@dataclass(frozen=True)
class RecentResults:
    """The last results of past draws; in doubt, corrected, bounded or refused ones are left out."""

    past: PastDraws

    def of(self, analyte: str, basis: str) -> list[float]:
        """Return the last values of an analyte on one basis, the newest last."""
        found: list[float] = []
        for draw in self.past:
            found += [
                each.value
                for each in draw.results
                if each.standing
                and not each.qualifier
                and (each.analyte, each.basis) == (analyte, basis)
            ]
            if len(found) >= MOST_RECENT:
                break
        return found[:MOST_RECENT][::-1]
