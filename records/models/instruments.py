"""What readings were taken with: instruments, standards, reagent lots, and what is known of each.

The register's rows hold what every bench asks: what it is, and whether it may be used today. What
was known of them when stands in cards, of which the newest counts, and what happened in events.
"""

from django.db import models
from django.utils.translation import gettext_lazy as _

from records.models.base import AppendOnly, ByPerson, PlantOwned, unique


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
    BALANCE = "balance", _("Balance")
    ONLINE_ANALYZER = "online_analyzer", _("Online analyzer")


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
    WEIGHT = "weight", _("Check weight")


class Lot(PlantOwned):
    """One bottle of a standard solution or reagent, or a check weight.

    `expires_on` is the last day on which it may be used: on the shelf, or once it is open.
    """

    kind = models.CharField(max_length=16, choices=LotKind)
    name = models.CharField(max_length=80)
    lot_number = models.CharField(max_length=60)
    expires_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [unique("kind", "name", "lot_number")]


class InstrumentCard(AppendOnly, ByPerson):
    """What is known of an instrument from then on, figures as typed; blank: not known.

    `correction` is what a certificate says must be added to its reading, for one that others are
    held against; `check_days` and `quick_days` are its intervals, blank: those of its check.
    """

    instrument = models.ForeignKey(Instrument, models.PROTECT, related_name="cards")
    place = models.CharField(max_length=80, blank=True)
    range_low = models.CharField(max_length=24, blank=True)
    range_high = models.CharField(max_length=24, blank=True)
    resolution = models.CharField(max_length=24, blank=True)
    unit = models.CharField(max_length=16, blank=True)
    cell_constant = models.CharField(max_length=24, blank=True)
    correction = models.CharField(max_length=24, blank=True)
    correction_expanded = models.CharField(max_length=24, blank=True)
    certificate = models.CharField(max_length=120, blank=True)
    check_days = models.PositiveSmallIntegerField(null=True, blank=True)
    quick_days = models.PositiveSmallIntegerField(null=True, blank=True)
    note = models.CharField(max_length=300, blank=True)
    at = models.DateTimeField()


class Behavior(models.TextChoices):
    """How a standard's value changes with temperature."""

    REFERENCE_ONLY = "reference_only", _("Known at 25 °C only")
    KCL = "kcl", _("As potassium chloride (conductivity)")
    COEFFICIENT = "coefficient", _("By a coefficient, percent per °C")
    TABLE = "table", _("By the table on its label")
    STEADY = "steady", _("Not at all (a weight, a color standard)")
    PHTHALATE = "phthalate", _("As phthalate buffer (4.01)")
    PHOSPHATE = "phosphate", _("As phosphate buffer (6.86)")
    SEVEN = "seven", _("As a 7.00 buffer, as labeled")
    BORAX = "borax", _("As borax buffer (9.18)")
    CARBONATE = "carbonate", _("As carbonate buffer (10.01)")
    CALCIUM_HYDROXIDE = "calcium_hydroxide", _("As calcium hydroxide buffer (12.45)")


class LotCard(AppendOnly, ByPerson):
    """What is known of a lot from then on, figures as typed; blank: not known.

    `expanded` is the expanded uncertainty of the certificate (k = 2), in the value's unit. `shelf`
    is the date on the bottle, `use_days` how long it may be used once it is open.
    """

    lot = models.ForeignKey(Lot, models.PROTECT, related_name="cards")
    value = models.CharField(max_length=24, blank=True)
    unit = models.CharField(max_length=16, blank=True)
    expanded = models.CharField(max_length=24, blank=True)
    behavior = models.CharField(max_length=24, choices=Behavior, blank=True)
    percent_per_k = models.CharField(max_length=24, blank=True)
    table = models.CharField(max_length=600, blank=True)
    certificate = models.CharField(max_length=120, blank=True)
    received_on = models.DateField(null=True, blank=True)
    opened_on = models.DateField(null=True, blank=True)
    shelf = models.DateField(null=True, blank=True)
    use_days = models.PositiveSmallIntegerField(null=True, blank=True)
    volume_left = models.CharField(max_length=40, blank=True)
    note = models.CharField(max_length=300, blank=True)
    at = models.DateTimeField()


class Happening(models.TextChoices):
    """What can happen to an instrument beside its checks."""

    REGISTERED = "registered", _("Registered")
    CHANGED = "changed", _("Card changed")
    MOVED = "moved", _("Moved")
    REPAIRED = "repaired", _("Repaired or cleaned")
    OUT_OF_SERVICE = "out_of_service", _("Taken out of service")
    BACK_IN_SERVICE = "back_in_service", _("Put back in service")
    NOTED = "noted", _("Noted")


class InstrumentEvent(AppendOnly, ByPerson):
    """What happened to an instrument, who did it and why."""

    instrument = models.ForeignKey(Instrument, models.PROTECT, related_name="events")
    kind = models.CharField(max_length=24, choices=Happening)
    why = models.CharField(max_length=300, blank=True)
    happened_at = models.DateTimeField()
    at = models.DateTimeField()
