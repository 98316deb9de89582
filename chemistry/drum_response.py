"""Did what was done do what it must have done? A dose, a blow or another valve setting, held
against the next result.

From what was believed just before, the water is foretold twice, with the action and without it. The
result is nearer to one of them, or to neither.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from chemistry.drum import Blow, Dose, Entry, Result, Setting, in_order
from chemistry.drum_filter import Spread, acted, advanced, follow
from chemistry.drum_model import Model
from chemistry.errors import Refused
from chemistry.words import gettext_noop

AGREES_Z = 2.0
"""Standard uncertainties within which a result is as foretold: rule of our own."""
SHOWS_Z = 3.0
"""Standard uncertainties by which an action must move a result to be judged by it: rule of our
own."""


@dataclass(frozen=True)
class Response:
    """What was foretold of the result with the action and without it (each with the result's own
    uncertainty in it), and what was found."""

    result: Result
    expected: Spread
    untouched: Spread

    @property
    def z(self) -> float:
        """By how many standard uncertainties the result is off from what the action must do."""
        return (self.result.value - self.expected.value) / self.expected.u

    @property
    def z_untouched(self) -> float:
        """The same, as if nothing had been done."""
        return (self.result.value - self.untouched.value) / self.untouched.u

    @property
    def part(self) -> float:
        """Part of that which was found."""
        return (self.result.value - self.untouched.value) / self.moves

    @property
    def moves(self) -> float:
        """By how much the action must move the result."""
        return self.expected.value - self.untouched.value

    @property
    def code(self) -> str:
        """A key of drum_words.RESPONSES."""
        if abs(self.moves) < SHOWS_Z * self.untouched.u:
            return "cannot_tell" if abs(self.z) <= AGREES_Z else "something_else"
        if abs(self.z) <= AGREES_Z:
            return "as_foretold"
        if abs(self.z_untouched) <= AGREES_Z:
            return "no_effect"
        if self.part > 1.0:
            return "more"
        return "less" if self.part > 0.0 else "wrong_way"


def response(model: Model, log: Iterable[Entry], action: Dose | Blow | Setting) -> Response:
    """Return how the first steaming result after an action answers to it.

    The result is the next one of the solute that the action moves most, for its uncertainty; one
    that was never tested before the action can't tell. `log` holds the action. Errors: Refused
    not_in_log, no_result_after; as chemistry.drum_filter.follow.
    """
    entries = in_order(log)
    if action not in entries:
        raise Refused("not_in_log", gettext_noop("The log does not hold this action."))
    at = entries.index(action)
    model = tested_in(model, entries[:at])
    before = follow(model, entries[:at]).belief
    answers = []
    unseen = set(model.solutes)
    touched, untouched = acted(advanced(before, action.at_h), action), before
    for entry in entries[at + 1 :]:
        touched, untouched = advanced(touched, entry.at_h), advanced(untouched, entry.at_h)
        if not isinstance(entry, Result):
            touched, untouched = acted(touched, entry), acted(untouched, entry)
        elif entry.solute in unseen and touched.setting.steaming:
            unseen.remove(entry.solute)
            expected, left = (each.result(entry.solute, entry.u) for each in (touched, untouched))
            answers.append(Response(entry, expected, left))
    if not answers:
        raise Refused(
            "no_result_after", gettext_noop("There is no result of the steaming boiler after it.")
        )
    return max(answers, key=lambda each: abs(each.moves) / each.untouched.u)


def tested_in(model: Model, log: Iterable[Entry]) -> Model:
    """Return a model of those solutes alone of which a log holds a result; as it is without any."""
    tested = {entry.solute for entry in log if isinstance(entry, Result)}
    solutes = tuple(each for each in model.solutes if each in tested) or model.solutes
    return replace(model, solutes=solutes, hides=model.hides if model.hides in solutes else "")
