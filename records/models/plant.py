"""Plants, their shifts, their boilers with states over time, and where samples are drawn."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from records.models.base import AppendOnly, ByPerson, Keyed, PlantOwned, unique


class Organization(Keyed):
    owner = "installation"

    name = models.CharField(max_length=120, unique=True)


class Plant(Keyed):
    """A site with its own people, boilers, time zone and habits of unit."""

    owner = "organization"

    organization = models.ForeignKey(Organization, models.PROTECT, related_name="plants")
    name = models.CharField(max_length=120)
    timezone = models.CharField(max_length=64)
    conductivity_unit = models.CharField(max_length=16, default="umho/cm")
    temperature_unit = models.CharField(max_length=16, default="degF")
    mass_flow_unit = models.CharField(max_length=16, default="lb/h")
    pressure_unit = models.CharField(max_length=16, default="psi")
    whom_to_call = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["organization", "name"], name="plant_of_organization")
        ]


class Shift(PlantOwned):
    """A named part of the plant's day; it lasts until the next one begins."""

    name = models.CharField(max_length=40)
    starts_at = models.TimeField()

    class Meta:
        constraints = [unique("name"), unique("starts_at")]


class BoilerKind(models.TextChoices):
    FIRETUBE = "firetube", _("Firetube")
    WATERTUBE = "watertube", _("Watertube")


class State(models.TextChoices):
    """What a boiler is doing; each state has its own program and schedule."""

    FILLING = "filling", _("Filling")
    RAISING_STEAM = "raising_steam", _("Raising steam")
    STEAMING = "steaming", _("Steaming")
    BANKED = "banked", _("Banked")
    WET_LAYUP = "wet_layup", _("Wet lay-up")
    DRY_LAYUP = "dry_layup", _("Dry lay-up")
    CLEANING = "cleaning", _("Being cleaned")
    OUT_OF_SERVICE = "out_of_service", _("Out of service")


class Boiler(PlantOwned):
    """A boiler with the figures that limits and remedies need; a blank figure is not known."""

    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=16, choices=BoilerKind)
    superheater = models.BooleanField(default=False)
    rated_psig = models.FloatField()
    working_psig = models.FloatField()
    steam_kg_h = models.FloatField(null=True, blank=True)
    water_mass_kg = models.FloatField(null=True, blank=True)
    continuous_blowdown_max_kg_h = models.FloatField(null=True, blank=True)
    bottom_blow_kg = models.FloatField(null=True, blank=True)
    treatment = models.CharField(max_length=120, blank=True)

    class Meta:
        constraints = [
            unique("name"),
            models.CheckConstraint(
                condition=models.Q(rated_psig__gt=0) & models.Q(working_psig__gt=0),
                name="boiler_pressure_positive",
            ),
        ]


class BoilerState(AppendOnly, ByPerson):
    """From when a boiler was in a state; the newest entry for an instant counts."""

    boiler = models.ForeignKey(Boiler, models.PROTECT, related_name="states")
    state = models.CharField(max_length=16, choices=State)
    since = models.DateTimeField()
    recorded_at = models.DateTimeField()
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        indexes = [models.Index(fields=["plant", "boiler", "since"], name="boiler_state_since")]


class SampleKind(models.TextChoices):
    BOILER_WATER = "boiler_water", _("Boiler water")
    FEEDWATER = "feedwater", _("Feedwater")
    CONDENSATE = "condensate", _("Condensate")
    MAKEUP = "makeup", _("Makeup")


class SamplePoint(PlantOwned):
    """Where a sample is drawn: of one boiler, or of the water that all of them share."""

    boiler = models.ForeignKey(Boiler, models.PROTECT, null=True, blank=True, related_name="points")
    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=16, choices=SampleKind)
    position = models.PositiveSmallIntegerField(default=0)

    class Meta:
        constraints = [unique("name")]
        ordering = ["position", "name"]
