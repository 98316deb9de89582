"""What a bench form sends, by the names that its fields have."""

from types import SimpleNamespace

from django.urls import reverse

from records.models import Draft

DRAWN = "2026-03-10T11:55"  # five minutes before the tests' noon, on the plant's clock


def bench_form(works: SimpleNamespace, reading: str = "1100", **changed: str) -> dict[str, str]:
    """Return a filled sheet in the automatic mode; `changed` by short names, "" empties a field."""
    sent = {
        "drawn_at": DRAWN,
        "conductivity:mode": "automatic",
        "conductivity.reading": reading,
        "conductivity.reading.unit": "umho/cm",
        "conductivity.temperature": "77",
        "conductivity.temperature.unit": "degF",
        "conductivity.neutralized": "no",
        "conductivity@meter": works.used["meter"],
        "conductivity@cell": works.used["cell"],
        "conductivity@thermometer": works.used["thermometer"],
        "revision": "0",
    }
    short = {name.rpartition(mark)[2]: name for mark in ":.@" for name in sent if mark in name}
    short["reading_unit"] = "conductivity.reading.unit"
    short["temperature_unit"] = "conductivity.temperature.unit"
    short["meter_reason"] = "conductivity@meter.reason"
    return sent | {short.get(key, key): text for key, text in changed.items()}


def bench_urls(draft: Draft) -> SimpleNamespace:
    """Return the addresses of a bench sheet."""
    keys = [draft.plant_id, draft.pk]
    return SimpleNamespace(
        page=reverse("bench", args=keys),
        work=reverse("bench-work", args=keys),
        finish=reverse("bench-finish", args=keys),
        discard=reverse("bench-discard", args=keys),
        round=reverse("round", args=[draft.plant_id]),
    )
