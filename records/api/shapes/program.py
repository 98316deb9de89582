"""Programs as the API shows them: the version in force, its limits, when tests are due."""

from typing import Any

from rest_framework import serializers

from chemistry.analytes import ANALYTES
from records.api.fields import Instant, Word
from records.api.figures import basis_words
from records.models import Limit, ScheduleLine

ANALYTE_WORDS = {key: each.name for key, each in ANALYTES.items()}


class LimitOut(serializers.Serializer[Limit]):
    """A limit with its basis and source. Neither low nor high: none is known; `note` says why."""

    point = serializers.UUIDField(source="sample_point_id")
    state = serializers.CharField()
    analyte = serializers.CharField()
    analyte_name = Word(ANALYTE_WORDS, source="analyte")
    low = serializers.CharField()
    high = serializers.CharField()
    target = serializers.CharField()
    guard_band = serializers.CharField()
    unit = serializers.CharField()
    basis = serializers.CharField()
    basis_words = serializers.SerializerMethodField()
    source = serializers.CharField()
    confidence = serializers.CharField()
    note = serializers.CharField()

    def get_basis_words(self, row: Limit) -> str:
        return basis_words(row.basis)


class ScheduleOut(serializers.Serializer[ScheduleLine]):
    """When a test is due while the boiler is in a state, in the plant's local time."""

    point = serializers.UUIDField(source="sample_point_id")
    state = serializers.CharField()
    method = serializers.CharField()
    recurrence = serializers.CharField(help_text="A recurrence rule of RFC 5545.")
    grace_minutes = serializers.IntegerField()


class ProgramOut(serializers.Serializer[Any]):
    """A program with the version in force now; without one nothing is judged."""

    id = serializers.UUIDField(source="program.pk")
    name = serializers.CharField(source="program.name")
    boiler = serializers.UUIDField(source="program.boiler_id", allow_null=True)
    version = serializers.IntegerField(source="version.number", default=None, allow_null=True)
    in_force_from = Instant(source="version.in_force_from", default=None, allow_null=True)
    limits = LimitOut(many=True)
    schedule = ScheduleOut(many=True)
