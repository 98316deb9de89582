"""A sample as the API shows it: what was read, what came of it, what follows."""

from typing import Any

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from chemistry import checks, units
from chemistry.verdict import REASON_WORDS, SIDE_WORDS, Side
from records.api.fields import Instant, Word
from records.api.figures import basis_words
from records.api.shapes.plant import PointOut
from records.api.shapes.program import ANALYTE_WORDS, LimitOut
from records.models import CheckOutcome, FollowUp, Reading
from records.selectors.remedy_offer import refusal_of
from records.selectors.results import ResultStand, TestStand
from records.words import sentence

SIDES = serializers.ChoiceField(choices=[side.value for side in Side])


class VerdictOut(serializers.Serializer[ResultStand]):
    """A result held against the limit in force at the draw; in doubt, it is not judged."""

    side = serializers.SerializerMethodField()
    word = Word(SIDE_WORDS, source="side")
    near_limit = serializers.BooleanField(source="verdict.near_limit")
    reason = Word(REASON_WORDS, source="verdict.reason")
    probability = serializers.CharField(
        source="verdict.probability", help_text="Of the true value lying within the limits."
    )
    rule = serializers.CharField(source="verdict.rule")
    program_version = serializers.IntegerField(
        source="verdict.program_version.number", default=None, allow_null=True
    )
    limit = LimitOut(source="verdict.limit", allow_null=True)

    @extend_schema_field(SIDES)
    def get_side(self, stand: ResultStand) -> str:
        return stand.side.value


class RemedyOut(serializers.Serializer[Any]):
    """Whether a remedy can be worked out on the sample's page, or why not. Advice orders
    nothing: the plant's procedures, local codes and licensed practice come first."""

    offered = serializers.BooleanField()
    why_not = serializers.CharField()


class ResultOut(serializers.Serializer[ResultStand]):
    """A worked result in the analyte's canonical unit. Its numbers are texts: none is rounded."""

    analyte = serializers.CharField(source="result.analyte")
    analyte_name = Word(ANALYTE_WORDS, source="result.analyte")
    qualifier = serializers.CharField(source="result.qualifier", help_text="<, > or nothing.")
    value = serializers.CharField(source="result.value")
    unit = serializers.CharField(source="result.unit")
    unit_label = serializers.SerializerMethodField()
    expanded_uncertainty = serializers.CharField(source="result.expanded")
    coverage_factor = serializers.CharField(source="result.coverage")
    degrees_of_freedom = serializers.CharField(source="result.degrees_of_freedom")
    basis = serializers.CharField(source="result.basis")
    basis_words = serializers.SerializerMethodField()
    verdict = VerdictOut(source="*")
    remedy = serializers.SerializerMethodField(help_text="Null unless the result is out of range.")

    def get_unit_label(self, stand: ResultStand) -> str:
        return units.label(stand.result.unit)

    def get_basis_words(self, stand: ResultStand) -> str:
        return basis_words(stand.result.basis)

    @extend_schema_field(RemedyOut(allow_null=True))
    def get_remedy(self, stand: ResultStand) -> Any:
        if not stand.out_of_range:
            return None
        refusal = refusal_of(stand.result)
        why = sentence(refusal) if refusal else ""
        return RemedyOut({"offered": refusal is None, "why_not": why}).data


class OutcomeOut(serializers.Serializer[CheckOutcome]):
    """What a check of the boiler showed: a word, no number."""

    check = serializers.CharField(source="what")
    outcome = serializers.CharField()
    outcome_word = Word(checks.OUTCOME_WORDS, source="outcome")
    reason = serializers.CharField()
    remark = serializers.CharField()
    witness = serializers.CharField()


class ReadingOut(serializers.Serializer[Reading]):
    """One raw reading as typed and as understood."""

    typed = serializers.CharField()
    understood = serializers.CharField(source="normalized")
    unit = serializers.CharField()


class TestOut(serializers.Serializer[TestStand]):
    """One test: its readings, its results, its outcomes, and why it is in doubt."""

    __test__ = False  # a test of water; pytest must not collect it

    method = serializers.CharField(source="measurement.method")
    version = serializers.CharField(source="measurement.method_version")
    mode = serializers.CharField(source="measurement.mode")
    readings = serializers.SerializerMethodField()
    confirmed = serializers.SerializerMethodField()
    in_doubt = serializers.SerializerMethodField(help_text="Reasons, until a chemist decides.")
    results = ResultOut(many=True)
    outcomes = OutcomeOut(many=True)

    @extend_schema_field(serializers.DictField(child=ReadingOut()))
    def get_readings(self, row: TestStand) -> Any:
        rows = row.measurement.readings.all()
        return {each.field: ReadingOut(each).data for each in rows}

    def get_confirmed(self, row: TestStand) -> list[str]:
        return row.measurement.confirmed.split()

    def get_in_doubt(self, row: TestStand) -> list[str]:
        return [doubt.detail for doubt in row.doubts]


class FollowUpOut(serializers.Serializer[FollowUp]):
    """Something owed by a time: a retest, which may be to confirm a result out of range, or an
    answer to one that is confirmed."""

    kind = serializers.CharField()
    analyte = serializers.CharField(source="result.analyte")
    why = serializers.CharField()
    due_at = Instant()
    settled = serializers.SerializerMethodField()

    def get_settled(self, row: FollowUp) -> bool:
        return bool(row.settlements.all())


class SampleOut(serializers.Serializer[Any]):
    """A sample as it counts now: a test that was corrected is shown as corrected."""

    id = serializers.UUIDField(source="sample.pk", help_text="Null in a dry run.", allow_null=True)
    dry_run = serializers.BooleanField(help_text="Whether nothing of this was stored.")
    point = PointOut(source="sample.sample_point")
    boiler_state = serializers.CharField(source="sample.boiler_state")
    drawn_at = Instant(source="sample.drawn_at")
    tester = serializers.CharField(source="sample.by_name")
    shift = serializers.CharField(source="sample.shift_name")
    shift_date = serializers.DateField(source="sample.shift_date")
    late = serializers.BooleanField(source="sample.late", help_text="Entered long after the draw.")
    note = serializers.CharField(source="sample.note")
    tests = TestOut(many=True)
    follow_ups = FollowUpOut(many=True)
    slots_answered = serializers.ListField(child=serializers.UUIDField())

    def to_representation(self, instance: Any) -> dict[str, Any]:
        shown = super().to_representation(instance)
        return shown | ({"id": None} if instance["dry_run"] else {})
