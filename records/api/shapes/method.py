"""The catalogue of methods as the API shows it: made from the method files and nothing else."""

from typing import Any

from django.utils.translation import gettext as _
from rest_framework import serializers

from chemistry import methods, units
from chemistry.methods.base import Field, Method
from records.api.figures import figure


class Said(serializers.CharField):
    """Marked words, said in the reader's language."""

    def to_representation(self, value: Any) -> str:
        return _(value) if value else ""


class UnitOut(serializers.Serializer[str]):
    """A unit in which a reading may be sent; others of the same dimension are read too."""

    key = serializers.CharField(source="*")
    label = serializers.SerializerMethodField()

    def get_label(self, key: str) -> str:
        return units.label(key)


class ChoiceOut(serializers.Serializer[tuple[str, str]]):
    """One of the values that a field takes."""

    value = serializers.SerializerMethodField(method_name="value_of")
    label = serializers.SerializerMethodField()

    def value_of(self, choice: tuple[str, str]) -> str:
        return choice[0]

    def get_label(self, choice: tuple[str, str]) -> str:
        return _(choice[1])


class FieldOut(serializers.Serializer[Field]):
    """One thing that a mode asks for: a number with a unit, one of its choices, or own words."""

    key = serializers.CharField()
    label = Said()
    help = Said()
    required = serializers.BooleanField()
    asked_when = Said(help_text="When one that is not always required is.")
    default = serializers.CharField(help_text="What an empty field stands for.")
    units = UnitOut(many=True)
    unit_needed = serializers.SerializerMethodField()
    low = serializers.SerializerMethodField(help_text="The lowest that is possible, in `unit`.")
    high = serializers.SerializerMethodField(help_text="The highest that is possible, in `unit`.")
    unit = serializers.CharField()
    choices = ChoiceOut(many=True)
    longest = serializers.IntegerField(help_text="Of own words: how many characters fit.")

    def get_unit_needed(self, field: Field) -> bool:
        return len(field.units) > 1

    def get_low(self, field: Field) -> str:
        return figure(field.low)

    def get_high(self, field: Field) -> str:
        return figure(field.high)


class ModeOut(serializers.Serializer[Any]):
    """One way of working a method, with what it asks for."""

    key = serializers.CharField()
    label = Said()
    help = Said()
    fields_asked = FieldOut(many=True, source="fields")


class MeansOut(serializers.Serializer[Any]):
    """A part that an instrument or a bottle plays."""

    role = serializers.CharField(source="key")
    label = Said()
    kind = serializers.CharField()
    required = serializers.BooleanField(default=False)


class StepOut(serializers.Serializer[Any]):
    """One step of the procedure; a caution is a warning."""

    text = Said()
    caution = serializers.BooleanField()


class MethodOut(serializers.Serializer[Any]):
    """One version of a bench test or check: what is asked, how it is done, its source."""

    key = serializers.CharField()
    version = serializers.CharField()
    newest = serializers.SerializerMethodField()
    name = Said()
    purpose = Said()
    analytes = serializers.ListField(child=serializers.CharField())
    checks = serializers.ListField(child=serializers.CharField())
    modes = ModeOut(many=True)
    instruments = MeansOut(many=True)
    lots = MeansOut(many=True)
    steps = StepOut(many=True)
    sample_ml = serializers.SerializerMethodField(help_text="The sample it takes, in mL.")
    source = serializers.CharField()

    def get_newest(self, method: Method) -> bool:
        return methods.latest(method.key) is method

    def get_sample_ml(self, method: Method) -> str:
        return figure(method.sample_ml)
