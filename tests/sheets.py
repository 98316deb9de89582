"""Bench sheets that can be worked, one for every method and mode, as typed in their pinned rows."""

from functools import cache
from types import SimpleNamespace
from urllib.parse import quote_plus

from chemistry import methods
from chemistry.methods.base import Method
from dashboards.forms.bench import Names
from records import models
from records.selectors.bench import TestEntry
from tests.dashboards.forms import DRAWN
from tests.golden import golden

METHODS = [methods.latest(key) for key in dict.fromkeys(key for key, _version in methods.METHODS)]
MODES = [(method, mode.key) for method in METHODS for mode in method.modes]
WRITTEN = (
    models.LogSheet, models.Sample, models.Measurement, models.Reading, models.InstrumentUse,
    models.Result, models.Verdict, models.Doubt, models.CheckOutcome, models.FollowUp,
    models.SlotAnswer,
)  # fmt: skip


def stored(plant: models.Plant) -> list[str]:
    """Return the tables in which a sample left a row at a plant that had none."""
    return [kind.__name__ for kind in WRITTEN if kind.objects.filter(plant=plant).exists()]


@cache
def _pinned(name: str) -> list[dict[str, str]]:
    return golden(name)


def workable(method: Method, mode: str) -> dict[str, str]:
    """Return what a tester typed who worked this mode, by field."""
    row = next(
        row for row in _pinned(f"method_{method.key}_{method.version}") if row["mode"] == mode
    )
    before = "typed_" if method.checks else ""
    return {
        field.key: row.get(before + field.key) or field.default
        for field in method.mode(mode).fields
    }


def instruments_for(works: SimpleNamespace, method: Method) -> dict[str, str]:
    """Return the plant's instruments by the roles in which this method needs one."""
    return {role.key: works.used[role.key] for role in method.instruments if role.required}


def entry_of(works: SimpleNamespace, method: Method, mode: str, **typed: str) -> TestEntry:
    """Return a test that can be worked but for what `typed` changes."""
    return TestEntry(
        method=method.key,
        version=method.version,
        mode=mode,
        typed=workable(method, mode) | typed,
        units={field.key: field.units[0] for field in method.mode(mode).fields if field.units},
        instruments=instruments_for(works, method),
    )


def form_of(entry: TestEntry, revision: int = 0) -> dict[str, str]:
    """Return what a bench form sends for one test."""
    names = Names(entry.method)
    return {
        "drawn_at": DRAWN,
        "revision": str(revision),
        names.mode: entry.mode,
        names.confirm: entry.confirmed,
        **{names.field(key): text for key, text in entry.typed.items()},
        **{names.unit(key): text for key, text in entry.units.items()},
        **{names.instrument(role): text for role, text in entry.instruments.items()},
        **{names.reason(role): text for role, text in entry.reasons.items()},
    }


def as_sent(form: dict[str, str]) -> bytes:
    """Return a form's body as a browser, or something ruder, sends it: half a pair goes raw."""
    return "&".join(
        f"{quote_plus(name)}={quote_plus(text.encode('utf-8', 'surrogatepass'))}"
        for name, text in form.items()
    ).encode()


def as_received(text: str) -> str:
    """Return a text as it comes out of a form: bytes that are no UTF-8 are replaced."""
    return text.encode("utf-8", "surrogatepass").decode("utf-8", "replace")
