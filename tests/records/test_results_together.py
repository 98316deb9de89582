"""Results of one sample that can't be right together are asked about, at the last test they are
of, and kept once confirmed. The relations themselves: tests/chemistry/test_coherence.py."""

import pytest

from records import clock
from records.models import Measurement, Sample
from records.selectors.bench import TestEntry, draw_of, tests_work
from records.services.corrections import result_correct
from records.services.samples import SampleEntry, TestsRefused, samples_register
from tests import factories
from tests.records import story

BUFFERS = {"buffer_low": "seven", "buffer_high": "carbonate"}


def _ph(reading: str) -> TestEntry:
    typed = {"reading": reading, "temperature": "25.0", **BUFFERS}
    return TestEntry(
        method="ph", version="1", mode="automatic", typed=typed, units={"temperature": "degC"}
    )


def _alkalinity(p: str, m: str, **options: str) -> TestEntry:
    """P and M alkalinity by drops of 20 mg/L each."""
    typed = {"p_end": p, "m_end": m, "per_drop_result": "20", "drop_means": "result"}
    typed["others"] = "yes"
    return TestEntry(method="alkalinity", version="1", mode="drops", typed=typed, **options)


def _works(works, *tests):
    return tests_work(draw_of(works.point, "steaming", clock.now()), tests)


def _register(works, *tests):
    now = clock.now()
    entry = SampleEntry(
        key=story.key(), point=works.point, drawn_at=now, opened_at=now, tests=tests
    )
    return Sample.objects.get(pk=samples_register(actor=works.tester, entries=[entry])[0])


def test_it_is_told_at_the_last_of_the_tests(works):
    """P alkalinity is what lies above pH 8.3: Standard Methods 2320 B, from memory."""
    ph, alkalinity = _works(works, _ph("7.50"), _alkalinity("6", "20"))
    assert [each.code for each in alkalinity.suspicions] == ["p_below_end_point"]
    assert ph.suspicions == () and "confirm" not in ph.errors
    first, last = _works(works, _alkalinity("6", "20"), _ph("7.50"))
    assert first.to_confirm == ""
    assert last.to_confirm == "beside:p_below_end_point:7.50/120"


def test_it_stores_nothing_until_it_is_confirmed(works):
    with pytest.raises(TestsRefused) as refused:
        _register(works, _ph("7.50"), _alkalinity("6", "20"))
    assert list(refused.value.by_test) == ["alkalinity"]
    assert not Sample.objects.exists()


def test_it_keeps_what_was_confirmed(works):
    asked = _works(works, _ph("7.50"), _alkalinity("6", "20"))[1].to_confirm
    sample = _register(works, _ph("7.50"), _alkalinity("6", "20", confirmed=asked))
    assert sample.measurements.get(method="alkalinity").confirmed == asked


def test_a_confirmation_holds_for_those_values_only(works):
    asked = _works(works, _ph("7.50"), _alkalinity("6", "20"))[1].to_confirm
    with pytest.raises(TestsRefused):
        _register(works, _ph("7.50"), _alkalinity("7", "20", confirmed=asked))


def test_results_that_hold_together_are_not_asked_about(works):
    assert _register(works, _ph("10.90"), _alkalinity("6", "20")).measurements.count() == 2


def test_a_correction_is_held_beside_the_other_results_of_its_sample(works):
    sample = _register(works, _ph("10.90"), _alkalinity("6", "20"))
    ph = sample.measurements.get(method="ph")
    with pytest.raises(TestsRefused) as refused:
        result_correct(
            actor=works.tester,
            measurement=ph,
            entry=_ph("7.50"),
            reason="misread",
            key=story.key(),
        )
    assert refused.value.by_test["ph"]["confirm"].code == "confirm"
    assert not Measurement.objects.filter(corrects=ph).exists()


def test_a_result_with_a_qualifier_says_nothing_about_the_others(works):
    """A reading beyond the scale bounds the result only."""
    works_ = _works(works, factories.conductivity("900", works.used), _ph("10.90"))
    assert [work.to_confirm for work in works_] == ["", ""]
