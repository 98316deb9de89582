"""A thin register of what a reading was taken with: instruments, standards and reagent lots."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from records.models.base import PlantOwned, unique


class InstrumentKind(models.TextChoices):
    CONDUCTIVITY_METER = "conductivity_meter", _("Conductivity meter")
    CONDUCTIVITY_CELL = "conductivity_cell", _("Conductivity cell")
    THERMOMETER = "thermometer", _("Thermometer")
    BURETTE = "burette", _("Burette or syringe")
    PH_METER = "ph_meter", _("pH meter")
    PH_ELECTRODE = "ph_electrode", _("pH electrode")
    PHOTOMETER = "photometer", _("Photometer")
    COMPARATOR = "comparator", _("Visual comparator")
    PRESSURE_GAUGE = "pressure_gauge", _("Pressure gauge")
    FLOW_METER = "flow_meter", _("Flow meter or integrator")


class Instrument(PlantOwned):
    """One meter, cell, thermometer, burette and so on, with what its last check found."""

    kind = models.CharField(max_length=24, choices=InstrumentKind)
    name = models.CharField(max_length=80)
    serial = models.CharField(max_length=60, blank=True)
    in_service = models.BooleanField(default=True)
    check_failed = models.BooleanField(default=False)
    check_due_on = models.DateField(null=True, blank=True)
    # Limits of error as the maker or the last check states them; blank: the method's default.
    accuracy_percent = models.FloatField(null=True, blank=True)
    accuracy_k = models.FloatField(null=True, blank=True)
    accuracy_ml = models.FloatField(null=True, blank=True)

    class Meta:
        constraints = [unique("name")]
        ordering = ["name"]


class LotKind(models.TextChoices):
    STANDARD = "standard", _("Standard solution")
    REAGENT = "reagent", _("Reagent")


class Lot(PlantOwned):
    """One bottle of a standard solution or reagent."""

    kind = models.CharField(max_length=16, choices=LotKind)
    name = models.CharField(max_length=80)
    lot_number = models.CharField(max_length=60)
    expires_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [unique("kind", "name", "lot_number")]
