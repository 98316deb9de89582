"""How many samples a second the service takes, one a call and many a call: what loads a demo or a
file. Processor time counts, since it is what other programs leave alone.

No time is asserted: machines differ. The table at the end holds each beside its aim.
"""

from collections.abc import Iterator
from time import process_time
from types import SimpleNamespace
from typing import Any
from uuid import uuid4

from records import clock
from records.models import Sample
from records.services.samples import SampleEntry, samples_register
from tests.bench.conftest import rate, timed
from tests.bench.history import FULL, History, limit_all, round_of

STORED = 1_000
CALLS, A_CALL, ROUNDS = 100, 20, 5
AIM_MS = 8  # a sample of four tests, by the service


def entries(works: SimpleNamespace, count: int) -> list[SampleEntry]:
    now, tests = clock.now(), round_of(works, FULL[:4])
    return [
        SampleEntry(key=str(uuid4()), point=works.point, drawn_at=now, opened_at=now, tests=tests)
        for _ in range(count)
    ]


def send(works: SimpleNamespace, given: list[SampleEntry]) -> None:
    samples_register(actor=works.tester, entries=given)


def test_samples_a_second(benchmark: Any, transactional_db: None, works: SimpleNamespace) -> None:
    limit_all(works)
    History(works).lay(STORED)
    before = Sample.objects.count()
    alone: Iterator[list[SampleEntry]] = (entries(works, 1) for _ in range(CALLS))
    aim = {"stored": STORED, "aim_ms": AIM_MS}
    timed("four tests, by service", lambda one: send(works, one), alone, **aim)
    many = entries(works, A_CALL * ROUNDS)
    start = process_time()
    for first in range(0, len(many), A_CALL):
        send(works, many[first : first + A_CALL])
    rate("four tests, many a call", len(many), process_time() - start)
    benchmark.pedantic(send, args=(works, entries(works, A_CALL)), rounds=1)
    assert Sample.objects.count() == before + CALLS + len(many) + A_CALL
