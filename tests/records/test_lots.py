"""Which bottle a test drew on is kept with the measurement; an expired one asks for a reason."""

from datetime import timedelta

import pytest

from records import clock
from records.models import Doubt, InstrumentUse, Lot, Sample
from records.selectors.bench import TestEntry
from records.services.plants import lot_add
from records.services.samples import SampleEntry, TestsRefused, samples_register
from tests import factories
from tests.records import story


def _lot(works, number="24-118", days=200, **figures):
    return lot_add(
        actor=factories.founder(works.plant),
        **{
            "kind": "reagent",
            "name": "EDTA 0.01 M",
            "lot_number": number,
            "expires_on": clock.now().date() + timedelta(days=days),
            **figures,
        },
    )


def _hardness(lot, reason=""):
    typed = {"end": "0.4", "sample_volume": "50"}
    return TestEntry(
        method="hardness_total",
        version="1",
        mode="self_zeroing",
        typed=typed,
        instruments={"titrant": str(lot.pk)},
        reasons={"titrant": reason},
    )


def _register(works, test):
    now = clock.now()
    entry = SampleEntry(
        key=story.key(), point=works.point, drawn_at=now, opened_at=now, tests=(test,)
    )
    return Sample.objects.get(pk=samples_register(actor=works.tester, entries=[entry])[0])


def test_the_lot_is_kept_with_the_measurement(works):
    lot = _lot(works)
    use = InstrumentUse.objects.get(measurement__sample=_register(works, _hardness(lot)))
    assert (use.role, use.lot, use.instrument) == ("titrant", lot, None)
    assert use.label == "EDTA 0.01 M, 24-118"


def test_an_expired_lot_asks_for_a_reason(works):
    with pytest.raises(TestsRefused) as refused:
        _register(works, _hardness(_lot(works, days=-1)))
    assert refused.value.by_test["hardness_total"]["reason-titrant"].code == "reason_needed"
    assert not Sample.objects.exists()


def test_a_result_from_an_expired_lot_is_in_doubt(works):
    sample = _register(works, _hardness(_lot(works, days=-1), reason="nothing else here tonight"))
    doubt = Doubt.objects.get(measurement__sample=sample)
    assert (doubt.cause, doubt.detail) == ("titrant_expired", "nothing else here tonight")


def test_a_lot_holds_to_the_end_of_its_last_day(works):
    sample = _register(works, _hardness(_lot(works, days=0)))
    assert not Doubt.objects.filter(measurement__sample=sample).exists()


def test_a_standard_is_no_titrant(works):
    with pytest.raises(TestsRefused) as refused:
        _register(works, _hardness(_lot(works, kind="standard")))
    assert refused.value.by_test["hardness_total"]["instrument-titrant"].code == "not_listed"


@pytest.mark.parametrize(
    ("figures", "field"),
    [
        ({"lot_number": ""}, "lot_number"),
        ({"name": " "}, "name"),
        ({"kind": "teapot"}, "kind"),
        ({"lot_number": "x" * 61}, "lot_number"),
    ],
)
def test_a_lot_that_cannot_be_is_refused_beside_its_field(works, figures, field):
    with pytest.raises(Exception) as refused:
        _lot(works, **figures)
    assert refused.value.field == field
    assert not Lot.objects.exists()


def test_a_lot_is_registered_once(works):
    _lot(works)
    with story.refused("name_taken"):
        _lot(works)
