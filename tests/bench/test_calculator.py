"""How long one keystroke in the calculator takes the server. Aim: p95 under 25 ms, as on the
bench."""

from types import SimpleNamespace

import pytest
from django.urls import reverse

from chemistry import calculations
from tests.bench.conftest import timed
from tests.dashboards.conftest import at_desk

ROUNDS = 100


@pytest.mark.parametrize("key", ["composition", "full_analysis", "sodium_to_phosphate", "cycles"])
def test_a_keystroke(works: SimpleNamespace, key: str) -> None:
    browser, url = at_desk(works.people["chemist"]), reverse("calculation", args=[key])
    sent, headers = dict(calculations.get(key).example), {"HX-Request": "true"}
    assert browser.get(url, sent, headers=headers).status_code == 200
    timed(
        f"calculator, {key}",
        lambda _number: browser.get(url, sent, headers=headers),
        iter(range(ROUNDS)),
        stored=0,
        aim_ms=25.0,
    )
