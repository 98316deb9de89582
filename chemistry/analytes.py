"""What is measured, and the basis that a result or a limit refers to."""

from dataclasses import dataclass

from chemistry.errors import ChemistryError
from chemistry.words import gettext_noop


@dataclass(frozen=True)
class Analyte:
    """Something measured: a key, a name to show, and the canonical unit key of its results.

    `decimals` caps the decimals that a result is given with, where the trade uses no more.
    """

    key: str
    name: str
    unit: str
    decimals: int | None = None


ANALYTES: dict[str, Analyte] = {
    each.key: each
    for each in (
        Analyte("conductivity", gettext_noop("Conductivity"), "uS/cm"),
        Analyte("sample_temperature", gettext_noop("Sample temperature"), "degC"),
        Analyte("drum_pressure", gettext_noop("Drum pressure"), "kPag"),
        Analyte("steam_flow", gettext_noop("Steam flow"), "kg/h"),
        Analyte("phosphate", gettext_noop("Orthophosphate"), "mg/L"),
        Analyte("silica", gettext_noop("Reactive silica"), "mg/L"),
        Analyte("iron", gettext_noop("Total iron"), "mg/L"),
        Analyte("iron_dissolved", gettext_noop("Dissolved iron"), "mg/L"),
        Analyte("iron_reactive", gettext_noop("Iron that reacts undigested"), "mg/L"),
        Analyte("hydrazine", gettext_noop("Hydrazine"), "ug/L"),
        Analyte("deha", gettext_noop("Diethylhydroxylamine (DEHA)"), "ug/L"),
        Analyte("erythorbate", gettext_noop("Erythorbate"), "ug/L"),
        Analyte("carbohydrazide", gettext_noop("Carbohydrazide"), "ug/L"),
        Analyte("scavenger", gettext_noop("Oxygen scavenger, as displayed"), "ug/L"),
        Analyte("oxygen", gettext_noop("Dissolved oxygen"), "ug/L"),
        Analyte("steam_mass", gettext_noop("Steam made"), "kg"),
        Analyte("feed_flow", gettext_noop("Feedwater, mass flow"), "kg/h"),
        Analyte("feed_mass", gettext_noop("Feedwater, mass"), "kg"),
        Analyte("feed_volume_flow", gettext_noop("Feedwater, volume flow"), "m**3/h"),
        Analyte("feed_volume", gettext_noop("Feedwater, volume"), "m**3"),
        Analyte("makeup_flow", gettext_noop("Makeup, mass flow"), "kg/h"),
        Analyte("makeup_mass", gettext_noop("Makeup, mass"), "kg"),
        Analyte("makeup_volume_flow", gettext_noop("Makeup, volume flow"), "m**3/h"),
        Analyte("makeup_volume", gettext_noop("Makeup, volume"), "m**3"),
        Analyte("condensate_flow", gettext_noop("Condensate returned, mass flow"), "kg/h"),
        Analyte("condensate_mass", gettext_noop("Condensate returned, mass"), "kg"),
        Analyte(
            "condensate_volume_flow", gettext_noop("Condensate returned, volume flow"), "m**3/h"
        ),
        Analyte("condensate_volume", gettext_noop("Condensate returned, volume"), "m**3"),
        Analyte("deaerator_pressure", gettext_noop("Deaerator pressure"), "kPag"),
        Analyte("deaerator_temperature", gettext_noop("Deaerator outlet temperature"), "degC"),
        Analyte("deaerator_gap", gettext_noop("Deaerator outlet below boiling"), "K"),
        Analyte(
            "blowdown_valve", gettext_noop("Continuous blowdown valve, opening"), "percent_of_span"
        ),
        Analyte("pump_stroke", gettext_noop("Chemical pump, stroke"), "percent_of_span"),
        Analyte("pump_speed", gettext_noop("Chemical pump, speed"), "percent_of_span"),
        Analyte("bottom_blow_time", gettext_noop("Bottom blow, time open"), "s"),
        Analyte("safety_valve_pressure", gettext_noop("Safety valve opened at"), "kPag"),
        Analyte("tank_level", gettext_noop("Tank level"), "percent_of_span"),
        Analyte(
            "softener_throughput", gettext_noop("Softener throughput since regeneration"), "m**3"
        ),
        Analyte("p_alkalinity", gettext_noop("P alkalinity"), "mg/L"),
        Analyte("m_alkalinity", gettext_noop("M alkalinity"), "mg/L"),
        Analyte("hydroxide_alkalinity", gettext_noop("Hydroxide alkalinity"), "mg/L"),
        Analyte("carbonate_alkalinity", gettext_noop("Carbonate alkalinity"), "mg/L"),
        Analyte("bicarbonate_alkalinity", gettext_noop("Bicarbonate alkalinity"), "mg/L"),
        Analyte("chloride", gettext_noop("Chloride"), "mg/L"),
        Analyte("chloride_epm", gettext_noop("Chloride in equivalents"), "epm"),
        Analyte("total_hardness", gettext_noop("Total hardness"), "mg/L"),
        Analyte("calcium_hardness", gettext_noop("Calcium hardness"), "mg/L"),
        Analyte("sulfite", gettext_noop("Sulfite"), "mg/L"),
        # Two decimals: common practice, no source.
        Analyte("ph", gettext_noop("pH"), "pH", decimals=2),
    )
}

TEMPERATURE_WORDS = {
    "25C": gettext_noop("at 25 °C"),
    "sample": gettext_noop("at the sample's temperature"),
    "any": "",  # does not depend on it
    "": "",  # not stated, because it does not matter
}
NEUTRALIZED_WORDS = {
    "neutralized": gettext_noop("neutralized"),
    "not_neutralized": gettext_noop("not neutralized"),
    "": "",
}
AS_WHAT_WORDS = {
    "CaCO3": gettext_noop("as CaCO3"),
    "ion": gettext_noop("as the ion"),
    "PO4": gettext_noop("as PO4"),
    "SiO2": gettext_noop("as SiO2"),
    "Fe": gettext_noop("as Fe"),
    "N2H4": gettext_noop("as N2H4"),
    "O2": gettext_noop("as O2"),
    "displayed": gettext_noop("as the instrument shows it"),
    "SO3": gettext_noop("as SO3"),
    "": "",
}


@dataclass(frozen=True)
class Basis:
    """What a number refers to. Unlike bases are never compared.

    `temperature` is a key of TEMPERATURE_WORDS, `neutralized` of NEUTRALIZED_WORDS, `as_what` of
    AS_WHAT_WORDS.
    """

    temperature: str
    neutralized: str = ""
    as_what: str = ""

    def __post_init__(self) -> None:
        known = (
            self.temperature in TEMPERATURE_WORDS
            and self.neutralized in NEUTRALIZED_WORDS
            and self.as_what in AS_WHAT_WORDS
        )
        if not known:
            raise ChemistryError(
                "unknown_basis",
                gettext_noop("The basis “%(basis)s” is not known."),
                {"basis": self.text},
            )

    @property
    def text(self) -> str:
        """The basis as one stored text, read back by `parse`."""
        return f"{self.temperature}|{self.neutralized}|{self.as_what}"

    @classmethod
    def parse(cls, text: str) -> "Basis":
        """Return the basis of a stored text.

        >>> Basis.parse("25C|not_neutralized|").neutralized
        'not_neutralized'
        """
        parts = text.split("|")
        if len(parts) != 3:
            raise ChemistryError(
                "unknown_basis",
                gettext_noop("The basis “%(basis)s” is not known."),
                {"basis": text},
            )
        return cls(*parts)

    def words(self) -> list[str]:
        """Return the basis as marked words, in reading order."""
        every = (
            AS_WHAT_WORDS[self.as_what],
            NEUTRALIZED_WORDS[self.neutralized],
            TEMPERATURE_WORDS[self.temperature],
        )
        return [word for word in every if word]
