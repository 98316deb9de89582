"""One reading from the dial to the signed log, by the services alone."""

from uuid import uuid4

from records.models import LedgerEntry, LogSheet, Result, Sample, Verdict
from records.selectors.ledger import mismatches
from records.selectors.sheets import SheetStatus, stand_of
from records.services.sheets import sheet_hand_in, sheet_sign
from tests import factories


def test_a_reading_becomes_a_signed_record(works):
    key = factories.sample(works.tester, works.point, factories.conductivity("1240", works.used))
    sample = Sample.objects.get(pk=key)
    result = Result.objects.get(measurement__sample=sample)
    verdict = Verdict.objects.get(result=result)
    assert (result.value, result.unit) == ("1240", "uS/cm")
    assert verdict.side == "in_range"

    sheet = LogSheet.objects.get()
    sheet_hand_in(actor=works.tester, sheet=sheet, seen=stand_of(sheet).digest, key=str(uuid4()))
    sheet_sign(actor=works.supervisor, sheet=sheet, seen=stand_of(sheet).digest, key=str(uuid4()))
    assert stand_of(sheet).status is SheetStatus.SIGNED
    assert LedgerEntry.objects.count() > 5
    assert list(mismatches(works.plant)) == []
