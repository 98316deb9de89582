"""A plant as the API shows it: boilers, points, what stands on the shelf, what is due."""

from typing import Any

from django.utils.translation import gettext as _
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from chemistry import methods, units
from records.api.fields import Instant
from records.api.figures import figure
from records.models import Boiler, Instrument, Lot, State
from records.selectors.instruments import Standing, standing
from records.selectors.rounds import Due, SlotStand


class QuantityOut(serializers.Serializer[Any]):
    """A figure with its unit: a key that Pint reads, and how people write it."""

    value = serializers.CharField()
    unit = serializers.CharField()
    unit_label = serializers.SerializerMethodField()

    def get_unit_label(self, row: Any) -> str:
        return units.label(row["unit"])


@extend_schema_field(QuantityOut(allow_null=True))
class Quantity(serializers.Field[Any, Any, Any, Any]):
    """A figure of the register with the unit in which it is kept; null where it is not known."""

    def __init__(self, unit: str, **options: Any) -> None:
        super().__init__(read_only=True, **options)
        self.unit = unit

    def to_representation(self, value: float) -> Any:
        return QuantityOut({"value": figure(value), "unit": self.unit}).data


class PlantOut(serializers.Serializer[Any]):
    """The plant that the token is for, and for whom the token acts there."""

    id = serializers.UUIDField()
    name = serializers.CharField()
    organization = serializers.CharField(source="organization.name")
    timezone = serializers.CharField(help_text="A name of the IANA time zone database.")
    units = serializers.SerializerMethodField(help_text="What its people read and speak in.")
    acts_for = serializers.SerializerMethodField()
    may_send = serializers.SerializerMethodField()

    def get_units(self, plant: Any) -> dict[str, str]:
        return {
            "conductivity": plant.conductivity_unit,
            "temperature": plant.temperature_unit,
            "mass_flow": plant.mass_flow_unit,
            "pressure": plant.pressure_unit,
        }

    def get_acts_for(self, plant: Any) -> str:
        return str(self.context["actor"].user.name)

    def get_may_send(self, plant: Any) -> bool:
        return bool(self.context["may_send"])


class BoilerOut(serializers.Serializer[Any]):
    """A boiler with the figures that limits and remedies need, and its state now."""

    id = serializers.UUIDField()
    name = serializers.CharField()
    kind = serializers.CharField()
    superheater = serializers.BooleanField()
    rated_pressure = Quantity("psig", source="rated_psig")
    working_pressure = Quantity("psig", source="working_psig")
    steam = Quantity("kg/h", source="steam_kg_h")
    water_mass = Quantity("kg", source="water_mass_kg")
    continuous_blowdown_most = Quantity("kg/h", source="continuous_blowdown_max_kg_h")
    treatment = serializers.CharField()
    state = serializers.SerializerMethodField(help_text="Empty where none is recorded.")
    state_word = serializers.SerializerMethodField()

    def get_state(self, boiler: Boiler) -> str:
        return str(self.context["states"].at(boiler, self.context["now"]))

    def get_state_word(self, boiler: Boiler) -> str:
        state = self.get_state(boiler)
        return str(State(state).label) if state else ""


class PointOut(serializers.Serializer[Any]):
    """A sample point; one without a boiler is of the water that all of them share."""

    id = serializers.UUIDField()
    name = serializers.CharField()
    kind = serializers.CharField()
    boiler = serializers.UUIDField(source="boiler_id", allow_null=True)


class StandsToday(serializers.Serializer[Any]):
    """How an instrument or lot stands today: anything but in order asks for a reason."""

    standing = serializers.SerializerMethodField()

    @extend_schema_field(serializers.ChoiceField(choices=[each.value for each in Standing]))
    def get_standing(self, used: Instrument | Lot) -> str:
        return standing(used, self.context["today"]).value


class InstrumentOut(StandsToday):
    """An instrument that a test can be made with."""

    id = serializers.UUIDField()
    kind = serializers.CharField()
    name = serializers.CharField()
    serial = serializers.CharField()
    check_due_on = serializers.DateField(allow_null=True)


class LotOut(StandsToday):
    """A bottle of a standard solution or reagent."""

    id = serializers.UUIDField()
    kind = serializers.CharField()
    name = serializers.CharField()
    lot_number = serializers.CharField()
    expires_on = serializers.DateField(allow_null=True)


class ShelfOut(serializers.Serializer[Any]):
    """All that the plant tests with."""

    instruments = InstrumentOut(many=True)
    lots = LotOut(many=True)


class DueLineOut(serializers.Serializer[SlotStand]):
    """One test that is owed at one point."""

    slot = serializers.UUIDField(source="slot.pk")
    stands = serializers.ChoiceField(
        source="due", choices=[each.value for each in Due if each is not Due.DONE]
    )
    due_at = Instant(source="slot.due_at")
    missed_after = Instant(source="slot.missed_after")
    point = serializers.UUIDField(source="slot.sample_point_id")
    point_name = serializers.CharField(source="slot.sample_point.name")
    boiler = serializers.UUIDField(source="slot.sample_point.boiler_id", allow_null=True)
    method = serializers.CharField(source="slot.method")
    method_name = serializers.SerializerMethodField()
    retest_of = serializers.UUIDField(
        source="slot.follow_up.sample_id", default=None, allow_null=True,
        help_text="The sample that this retest follows up.",
    )  # fmt: skip

    def get_method_name(self, stand: SlotStand) -> str:
        return _(methods.latest(stand.slot.method).name)


class DueOut(serializers.Serializer[Any]):
    """What is owed from the last shift's end to twelve hours from now."""

    now = Instant()
    shift = serializers.CharField()
    shift_date = serializers.DateField()
    tests = DueLineOut(many=True)
