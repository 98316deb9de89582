"""How long it takes to judge stored results by other limits, for 90 days of a large plant.

Ten thousand results are 110 a day. No time is asserted: see the table that pytest-benchmark prints.
"""

from datetime import timedelta

import pytest
from django.db import transaction

from records import clock
from records.selectors.preview import preview
from records.selectors.program_entry import limits_read
from tests.bench.test_bench_save import History
from tests.records.programs import limit, program_of


@pytest.mark.django_db(transaction=True)
@pytest.mark.benchmark(group="judging stored results by other limits, by their number")
@pytest.mark.parametrize("stored", [1_000, 10_000])
def test_look_first(benchmark, works, stored):
    with transaction.atomic():
        History(works).lay(stored)
    rows, _refused = limits_read([limit(works, high="800")])
    since = clock.now() - timedelta(days=stored)
    found = benchmark.pedantic(
        preview, (program_of(works), rows), {"since": since}, rounds=3, warmup_rounds=1
    )
    assert len(found.otherwise) == stored + 1  # with the one that was copied
