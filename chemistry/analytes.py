"""What is measured, and the basis that a result or a limit refers to."""

from dataclasses import dataclass

from chemistry.errors import ChemistryError
from chemistry.words import gettext_noop


@dataclass(frozen=True)
class Analyte:
    """Something measured: a key, a name to show, and the canonical unit key of its results."""

    key: str
    name: str
    unit: str


ANALYTES: dict[str, Analyte] = {
    each.key: each
    for each in (
        Analyte("conductivity", gettext_noop("Conductivity"), "uS/cm"),
        Analyte("sample_temperature", gettext_noop("Sample temperature"), "degC"),
        Analyte("drum_pressure", gettext_noop("Drum pressure"), "kPag"),
        Analyte("steam_flow", gettext_noop("Steam flow"), "kg/h"),
    )
}

TEMPERATURE_WORDS = {
    "25C": gettext_noop("at 25 °C"),
    "sample": gettext_noop("at the sample's temperature"),
    "": gettext_noop("at no stated temperature"),
}
NEUTRALIZED_WORDS = {
    "neutralized": gettext_noop("neutralized"),
    "not_neutralized": gettext_noop("not neutralized"),
    "": "",
}
AS_WHAT_WORDS = {
    "CaCO3": gettext_noop("as CaCO3"),
    "ion": gettext_noop("as the ion"),
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
