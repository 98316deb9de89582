"""What a boiler's water will be if nothing is done, in words."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.utils.translation import gettext as _

from chemistry.drum_filter import Belief, advanced
from chemistry.drum_forecast import Forecast, forecast
from chemistry.drum_leaks import Watch
from chemistry.errors import Refused
from dashboards import words
from dashboards.build.results import analyte_name
from records.models import Plant
from records.selectors.drum_logs import DrumLog
from records.selectors.programs import as_in_force
from records.selectors.results import ResultStand

_AHEAD_H = 72.0


@dataclass(frozen=True)
class Outlook:
    """What is believed of a drum now; `belief` None where its log gave nothing."""

    plant: Plant
    now: datetime
    belief: Belief | None

    @classmethod
    def of(cls, plant: Plant, log: DrumLog | None, found: Watch | None, now: datetime) -> "Outlook":
        believed = advanced(found.belief, log.hour(now)) if log and found else None
        return cls(plant, now, believed)

    def words(self, newest: ResultStand) -> tuple[str, bool]:
        """Return the forecast of a result's analyte as a sentence, and whether it warns."""
        analyte = newest.result.analyte
        if self.belief is None or analyte not in self.belief.model.solutes:
            return "", False
        verdict = newest.verdict
        limit = (
            as_in_force(verdict.program_version, verdict.limit).limit
            if verdict.program_version and verdict.limit
            else None
        )
        if limit is None:
            return "", False  # its verdict says that there is no range
        try:
            found = forecast(self.belief, analyte, limit.low, limit.high, _AHEAD_H)
        except Refused as refused:
            return words.sentence(refused), False
        return self._sentence(analyte, found, limit.low, limit.high)

    def _sentence(
        self, analyte: str, found: Forecast, low: float | None, high: float | None
    ) -> tuple[str, bool]:
        name, hours = analyte_name(analyte), f"{_AHEAD_H:.0f}"
        told = {"analyte": name, "hours": hours}
        if found.soonest_h is None and found.leaves_h is None:
            return _("If nothing is done it stays in its range for %(hours)s hours.") % told, False
        if found.leaves_h == 0.0:
            return self._outside(found, low, high), True
        soonest = found.soonest_h or 0.0
        told["soonest"] = self._at(soonest) if soonest > 0.0 else _("now")
        if found.leaves_h is None and soonest == 0.0:
            text = _(
                "It may be outside its range by now; more likely it stays in it for %(hours)s "
                "hours if nothing is done. Test it again."
            )
            return text % told, False
        if found.leaves_h is None:
            text = _(
                "If nothing is done it may leave its range, at the soonest %(soonest)s; more "
                "likely it stays for %(hours)s hours."
            )
            return text % told, False
        told["at"] = self._at(found.leaves_h)
        latest = _latest(found, low, high)
        told["latest"] = self._at(latest) if latest is not None else _("never")
        told["side"] = _("above") if found.side == "high" else _("below")
        text = _(
            "If nothing is done it goes %(side)s its range about %(at)s, between %(soonest)s and "
            "%(latest)s."
        )
        return text % told, True

    def _outside(self, found: Forecast, low: float | None, high: float | None) -> str:
        """Return when what is outside comes back by itself, if it does."""
        back = next(
            (
                hour
                for hour, each in zip(found.hours, found.values, strict=True)
                if (high is None or each.value <= high) and (low is None or each.value >= low)
            ),
            None,
        )
        if back is None:
            return _("It is outside its range, and stays there if nothing is done.")
        text = _("It is outside its range. If nothing is done it is back about %(at)s.")
        return text % {"at": self._at(back)}

    def _at(self, hours: float) -> str:
        return words.time_of(self.plant, self.now + timedelta(hours=hours))


def _latest(found: Forecast, low: float | None, high: float | None) -> float | None:
    """Return the hours after which the whole band lies outside, or None."""
    for hour, each in zip(found.hours, found.values, strict=True):
        if found.side == "high" and high is not None and each.low > high:
            return hour
        if found.side == "low" and low is not None and each.high < low:
            return hour
    return None
