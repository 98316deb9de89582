"""Work what was typed, remembering the last ones: a bench sheet sends all of its tests with each
key that is typed in one of them."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from chemistry import methods
from chemistry.errors import ChemistryError
from chemistry.methods.base import Entry, InstrumentFacts, Outcome, Worked

_Texts = tuple[tuple[str, str], ...]
# The sheets that are being typed on at one time, by far: rule of our own.
_REMEMBERED = 2048


@dataclass(frozen=True)
class Typed:
    """What came of what was typed: as read, worked and concluded, or the trouble in working it.

    It is shared by all who ask for the same: nothing in it is to be changed.
    """

    read: Entry
    worked: tuple[Worked, ...] = ()
    outcomes: tuple[Outcome, ...] = ()
    trouble: ChemistryError | None = None


def work_typed(
    key: str,
    version: str,
    mode: str,
    typed: Mapping[str, str],
    units: Mapping[str, str],
    facts: InstrumentFacts,
) -> Typed:
    """Return what comes of a test as typed, by one version of its method. Errors: EntryError
    unknown_method."""
    return _work(key, version, mode, tuple(typed.items()), tuple(units.items()), facts)


@lru_cache(maxsize=_REMEMBERED)
def _work(
    key: str, version: str, mode: str, typed: _Texts, units: _Texts, facts: InstrumentFacts
) -> Typed:
    method = methods.get(key, version)
    read = method.read(mode, dict(typed), dict(units))
    if read.errors:
        return Typed(read)
    outcomes: tuple[Outcome, ...] = ()
    try:
        outcomes = method.outcomes(mode, read)
        return Typed(read, method.work(mode, read, facts), outcomes)
    except ChemistryError as error:
        return Typed(read, outcomes=outcomes, trouble=error.with_traceback(None))
