"""An instrument whose check failed: it asks for a reason, and the trail says what was found."""

import pytest

from records.errors import RecordError
from records.models import AuditEvent, Instrument
from records.services.instruments import instrument_check_failed
from tests.records import story


def test_a_failed_check_asks_for_a_reason_from_then_on(works):
    meter = Instrument.objects.get(plant=works.plant, kind="conductivity_meter")
    story.draw(works, "1100")
    instrument_check_failed(actor=works.supervisor, instrument=meter, found="1570 in 1413 µS/cm")
    noted = AuditEvent.objects.get(plant=works.plant, verb="check failed")
    assert (
        noted.subject == f"{meter.name}: 1570 in 1413 µS/cm"
        and noted.by == works.people["supervisor"]
    )
    with pytest.raises(RecordError) as refused:
        story.draw(works, "1105")
    assert "reason-meter" in refused.value.by_test["conductivity"]
    story.draw(works, "1105", reasons={"meter": "the other one is away"})


def test_a_tester_cannot_fail_an_instrument_and_nobody_another_plants(works, elsewhere):
    meter = Instrument.objects.get(plant=works.plant, kind="conductivity_meter")
    for who in (works.tester, elsewhere.supervisor):
        with pytest.raises(RecordError):
            instrument_check_failed(actor=who, instrument=meter, found="1570")
    meter.refresh_from_db()
    assert not meter.check_failed
