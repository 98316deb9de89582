"""One visit to a sample point: several tests, checks in words, and the slots they were owed for."""

from datetime import timedelta

import pytest

from records import clock
from records.models import CheckOutcome, DueSlot, Measurement, Result, Sample, SlotAnswer
from records.selectors.bench import TestEntry
from records.selectors.results import outcomes_of
from records.selectors.rounds import Due, slots_for_round
from records.services.drafts import draft_open, draft_test_add
from records.services.samples import SampleEntry, samples_register
from records.services.slots import slots_expand
from tests import factories
from tests.records import story


def _drops(p: str, m: str, others: str = "no") -> TestEntry:
    """P and M alkalinity by drops of 20 mg/L each."""
    typed = {"p_end": p, "m_end": m, "per_drop_result": "20", "drop_means": "result"}
    return TestEntry(
        method="alkalinity", version="1", mode="drops", typed={**typed, "others": others}
    )


def _register(works, *tests: TestEntry, **options) -> Sample:
    now = clock.now()
    entry = SampleEntry(
        key=story.key(), point=works.point, drawn_at=now, opened_at=now, tests=tests, **options
    )
    return Sample.objects.get(pk=samples_register(actor=works.tester, entries=[entry])[0])


def test_it_stores_every_result_of_every_test(works):
    """P 12 and M 17 drops of 20 mg/L: hydroxide 2P - M, carbonate 2(M - P); Standard Methods
    2320 B, Table 2320:II, from memory."""
    sample = _register(
        works, factories.conductivity("1240", works.used), _drops("12", "17"),
        story.gauge_glass("worked"),
    )  # fmt: skip
    found = {r.analyte: float(r.value) for r in Result.objects.filter(measurement__sample=sample)}
    assert found["conductivity"] == 1240
    assert (found["p_alkalinity"], found["m_alkalinity"]) == (240, 340)
    assert (found["hydroxide_alkalinity"], found["carbonate_alkalinity"]) == (140, 200)
    assert [each.check.outcome for each in outcomes_of(sample)] == ["worked"]


def test_it_withholds_hydroxide_where_something_else_takes_acid(works):
    sample = _register(works, _drops("12", "17", others="unknown"))
    found = set(Result.objects.filter(measurement__sample=sample).values_list("analyte", flat=True))
    assert found == {"p_alkalinity", "m_alkalinity"}


def test_it_keeps_a_check_that_was_not_done_with_its_reason(works):
    not_done = story.gauge_glass("not_done", reason="unsafe", remark="valve stuck")
    _register(works, not_done)
    kept = CheckOutcome.objects.get()
    assert (kept.outcome, kept.reason, kept.remark) == ("not_done", "unsafe", "valve stuck")


def test_it_stores_nothing_where_one_test_of_several_cannot_be_used(works):
    with pytest.raises(story.RecordError):
        _register(works, factories.conductivity("1240", works.used), _drops("17", "12"))
    assert not Sample.objects.exists() and not Measurement.objects.exists()


def test_one_sample_answers_every_slot_whose_test_it_holds(works):
    slots_expand(works.plant)
    with story.later(100):  # twenty minutes before the slot at two o'clock
        sample = _register(works, factories.conductivity("1240", works.used))
    answered = SlotAnswer.objects.get(sample=sample).slot
    assert answered.due_at - sample.drawn_at == timedelta(minutes=20)


def test_a_sample_long_before_its_slot_answers_nothing(works):
    slots_expand(works.plant)
    late = DueSlot.objects.filter(sample_point=works.point).order_by("-due_at").first()
    sample = _register(works, factories.conductivity("1240", works.used), slot=late)
    assert not SlotAnswer.objects.filter(sample=sample).exists()


def test_a_slot_is_answered_once(works):
    slots_expand(works.plant)
    with story.later(100):
        for _ in range(2):
            _register(works, factories.conductivity("1240", works.used))
        now = clock.now()
        stands = slots_for_round(
            works.plant, now=now, early=now, since=now, until=now + timedelta(hours=1)
        )
    assert [stand.due for stand in stands] == [Due.DONE]
    assert SlotAnswer.objects.count() == 1


def test_it_puts_one_more_test_on_a_sheet(works):
    draft = draft_open(actor=works.tester, point=works.point, method_keys=["conductivity"])
    added = draft_test_add(actor=works.tester, draft=draft, method="ph")
    assert added.method_versions == {"conductivity": "1", "ph": "1"}


def test_it_adds_no_test_that_is_not_known_and_none_to_another_ones_sheet(works):
    draft = draft_open(actor=works.tester, point=works.point, method_keys=["conductivity"])
    with story.refused("unknown_method"):
        draft_test_add(actor=works.tester, draft=draft, method="alchemy")
    with story.refused("not_yours"):
        draft_test_add(actor=works.mate, draft=draft, method="ph")
