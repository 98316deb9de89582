"""The command that verifies: what it prints, its exit code, and heads kept elsewhere."""

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from records import guards
from records.models import LedgerEntry, LedgerHead, Signature
from records.selectors.ledger import head_of
from tests.records.test_ledger import delete, edit, sealed_row

pytestmark = pytest.mark.django_db  # so that a database is set up for `told`


def test_it_prints_the_heads_of_a_clean_ledger(told, capsys):
    call_command("verify_ledger")
    assert str(head_of(told.plant)) in capsys.readouterr().out


def test_it_prints_the_first_mismatch_and_how_many_more(undone, capsys):
    guards.lift(connection)
    edit(sealed_row(undone, "sample"), "point_name", "Another boiler's water")
    edit(sealed_row(undone, "result"), "value", "1")
    with pytest.raises(CommandError) as raised:
        call_command("verify_ledger", plant=str(undone.plant.pk))
    assert raised.value.returncode == 1
    printed = capsys.readouterr().out
    assert f"sample {sealed(undone, 'sample')}" in printed
    assert "and 1 more" in printed


def sealed(undone, table: str) -> object:
    link = LedgerEntry.objects.filter(plant=undone.plant, table=table).order_by("sequence").last()
    assert link is not None
    return link.row


def test_it_compares_with_heads_that_were_kept(undone, tmp_path, capsys):
    kept = tmp_path / "heads.txt"
    call_command("verify_ledger", heads=str(kept))
    assert kept.read_text() == f"{head_of(undone.plant)}\n"
    call_command("verify_ledger", against=str(kept))
    guards.lift(connection)
    tail = LedgerEntry.objects.order_by("sequence").last()
    before = LedgerEntry.objects.get(sequence=tail.sequence - 1)
    delete(Signature.objects.get(pk=tail.row))
    delete(tail)
    LedgerHead.objects.update(sequence=before.sequence, digest=before.digest)
    call_command("verify_ledger")
    with pytest.raises(CommandError):
        call_command("verify_ledger", against=str(kept))
    assert "the chain was cut" in capsys.readouterr().out


@pytest.mark.parametrize("text", ["", "not a head", "0 1 2"])
def test_it_refuses_what_it_cannot_use(told, tmp_path, text):
    kept = tmp_path / "heads.txt"
    if text:
        kept.write_text(text)
    with pytest.raises(CommandError) as raised:
        call_command("verify_ledger", against=str(kept))
    assert raised.value.returncode == 2
    with pytest.raises(CommandError):
        call_command("verify_ledger", plant=text or "x")
