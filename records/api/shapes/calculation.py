"""A calculation as the API shows it, what is sent to it, and what comes out."""

from typing import Any

from django.utils.translation import gettext as _
from rest_framework import serializers

from chemistry import units
from chemistry.calculations.base import SUBJECTS, Answer
from records.api.fields import Strict, Text, Word
from records.api.incoming import ReadingIn
from records.api.shapes.method import FieldOut, Said, UnitOut
from records.words import told


class AskedOut(serializers.Serializer[Any]):
    """One question: what is asked, for which water the answer holds, where it comes from."""

    key = serializers.CharField()
    subject = Word(SUBJECTS)
    question = Said()
    purpose = Said()
    fields_asked = FieldOut(many=True, source="fields")
    validity = Said()
    sources = serializers.ListField(child=serializers.CharField())
    cautions = serializers.ListField(child=Said())


class CalculationIn(Strict):
    """The figures, as they were typed."""

    given = serializers.DictField(child=ReadingIn(), help_text="By the key of the field.")
    units = serializers.DictField(
        child=Text(longest=40),
        default=dict,
        help_text="By the key of an answer: the unit it is wanted in.",
    )


class AnswerOut(serializers.Serializer[Answer]):
    """One figure that came out. Its numbers are texts, rounded to the digits that mean something;
    `low` and `high` are the ends of its interval, empty where none is known."""

    key = serializers.CharField()
    label = Said()
    value = serializers.SerializerMethodField(method_name="value_of")
    low = serializers.SerializerMethodField()
    high = serializers.SerializerMethodField()
    unit = serializers.SerializerMethodField()
    unit_label = serializers.SerializerMethodField()
    units = UnitOut(many=True)

    def _text(self, answer: Answer, value: float | None) -> str:
        return "" if value is None else answer.text(value, self.get_unit(answer))

    def value_of(self, answer: Answer) -> str:
        return self._text(answer, answer.value)

    def get_low(self, answer: Answer) -> str:
        return self._text(answer, answer.low)

    def get_high(self, answer: Answer) -> str:
        return self._text(answer, answer.high)

    def get_unit(self, answer: Answer) -> str:
        wanted: dict[str, str] = self.context["units"]
        return wanted.get(answer.key, answer.unit)

    def get_unit_label(self, answer: Answer) -> str:
        return units.label(self.get_unit(answer))


class FoundOut(serializers.Serializer[Any]):
    """What came out. Nothing of it is stored, and advice in it is advisory."""

    answers = AnswerOut(many=True)
    remarks = serializers.SerializerMethodField()
    cautions = serializers.SerializerMethodField()

    def get_remarks(self, found: Any) -> list[str]:
        return [told(*remark) for remark in found.remarks]

    def get_cautions(self, found: Any) -> list[str]:
        return [_(each) for each in self.context["calculation"].cautions]
