"""Why a sample was refused, told at the places of the body that it came from."""

from django.utils.translation import gettext as _

from records.api.problems import Fault, Unusable
from records.selectors.bench import WorkedTest, draw_of, tests_work
from records.selectors.programs import state_at
from records.services.samples import SampleEntry
from records.words import sentence, told


def refused(entry: SampleEntry) -> Unusable:
    """Return all that keeps a sample from being stored, worked anew to know what it asks."""
    state = state_at(entry.point.boiler, entry.drawn_at)
    works = tests_work(draw_of(entry.point, state, entry.drawn_at), entry.tests)
    return Unusable([fault for number, work in enumerate(works) for fault in _faults(number, work)])


def _faults(number: int, work: WorkedTest) -> list[Fault]:
    faults = [
        Fault(place=("tests", str(number), *_place(key)), code=error.code, detail=sentence(error))
        for key, error in work.errors.items()
        if key != "confirm"
    ]
    return faults + (doubts_left(number, work) if "confirm" in work.errors else [])


def _place(key: str) -> tuple[str, ...]:
    """Return where in a test the trouble under a key of `WorkedTest.errors` stands."""
    kind, _dash, role = key.partition("-")
    if role and kind in ("instrument", "reason"):
        return (f"{kind}s", role)
    if key in ("", "mode"):
        return (key,) if key else ()
    return ("readings", key)


def doubts_left(number: int, work: WorkedTest) -> list[Fault]:
    """Return each doubt that nobody looked at yet, with the token that confirms it."""
    seen = set(work.entry.confirmed.split())
    return [
        Fault(
            place=("tests", str(number), "confirmed"),
            code=doubt.code,
            detail=" ".join((told(doubt.template, doubt.params), _("If it is right, confirm it."))),
            token=token,
        )
        for doubt, token in zip(work.suspicions, work.to_confirm.split(), strict=True)
        if token not in seen
    ]
