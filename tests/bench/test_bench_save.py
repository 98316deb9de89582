"""How long it takes to save a sample of ten tests and to work one as typed, by what is stored.

The store is a file and each write commits. Aims: to save, p95 under 60 ms of server time with
100,000 samples stored and not more than 1.3 times that at 1,000; to work, p95 under 25 ms. No time
is asserted, machines differ: the table at the end holds each beside its aim.
"""

from collections.abc import Iterator
from types import SimpleNamespace
from typing import Any

import pytest

from records.models import Draft, Measurement, Reading, Result, Sample
from records.services.drafts import draft_open
from tests.bench.conftest import timed
from tests.bench.history import FULL, History, limit_all, register, round_of
from tests.dashboards.conftest import at_terminal, enroll
from tests.dashboards.forms import bench_urls
from tests.sheets import as_sent, form_of

FEW, MANY = 1_000, 100_000
ROUNDS = 160


@pytest.fixture(params=[FEW, MANY], ids=lambda stored: f"{stored:,} stored")
def filled(request: Any, transactional_db: None, works: SimpleNamespace) -> SimpleNamespace:
    """A plant whose store holds so many samples, and its tester's browser."""
    limit_all(works)
    History(works).lay(request.param)
    assert Sample.objects.count() == request.param + 2
    assert Reading.objects.count() > 8 * request.param
    works.stored = request.param
    works.tess = at_terminal(enroll(works), works.people["tester"])
    return works


def fresh(works: SimpleNamespace) -> Draft:
    return draft_open(
        actor=works.tester, point=works.point, method_keys=[key for key, _mode in FULL]
    )


def form(works: SimpleNamespace, **changed: str) -> dict[str, str]:
    sent: dict[str, str] = {}
    for test in round_of(works, FULL):
        sent |= form_of(test)
    return sent | changed


def post(works: SimpleNamespace, url: str, sent: bytes, **headers: str) -> int:
    kind = "application/x-www-form-urlencoded"
    return int(works.tess.post(url, sent, content_type=kind, headers=headers).status_code)


def finished(works: SimpleNamespace) -> Iterator[tuple[str, bytes]]:
    """Yield sheets to be finished: the address and what is sent."""
    for _number in range(ROUNDS):
        yield bench_urls(fresh(works)).finish, as_sent(form(works))


def typed_on(works: SimpleNamespace) -> Iterator[tuple[str, bytes]]:
    """Yield one sheet as it is typed on: the address and what is sent."""
    url = bench_urls(fresh(works)).work
    for number in range(ROUNDS):
        now = {"conductivity.reading": str(1000 + number), "revision": str(number)}
        yield url, as_sent(form(works, **now))


def finish(works: SimpleNamespace, url: str, sent: bytes) -> None:
    assert post(works, url, sent) == 302


def work(works: SimpleNamespace, url: str, sent: bytes) -> None:
    assert post(works, url, sent, **{"HX-Request": "true"}) == 200


def test_a_sample_of_ten_tests(benchmark: Any, filled: SimpleNamespace) -> None:
    before = Measurement.objects.count()
    options = {"stored": filled.stored, "aim_ms": 60}

    rounds = (round_of(filled, FULL) for _ in range(ROUNDS))
    timed(
        "save, by the service",
        lambda tests: register(filled, filled.point, tests),
        rounds,
        **options,
    )
    timed(
        "save, by the form",
        lambda sheet: finish(filled, *sheet),
        finished(filled),
        **options,
    )
    assert Measurement.objects.count() == before + len(FULL) * 2 * ROUNDS
    options["aim_ms"] = 25
    timed("work as typed", lambda sheet: work(filled, *sheet), typed_on(filled), **options)
    tests = round_of(filled, FULL)
    kept = benchmark.pedantic(register, args=(filled, filled.point, tests), rounds=20)
    assert Result.objects.filter(measurement__sample=kept).count() > len(FULL)
