"""Bad input, line by line: one table for the form's tests and the service's.

What each line gets is a rule of our own: a message beside its field, what was typed kept, nothing
stored.
"""

from dataclasses import dataclass

import pytest

from chemistry.methods.base import Method
from tests.sheets import METHODS


@dataclass(frozen=True, eq=False)
class Line:
    """One thing typed wrong: beside which field it is told, by which code, and part of the
    sentence. `only` holds it to one method or one mode."""

    name: str
    typed: dict[str, str]
    where: str
    code: str
    told: str
    only: str = ""

    def modes_of(self, method: Method) -> list[str]:
        """Return the modes of a method that ask for all that is typed wrong here."""
        return [
            mode.key
            for mode in method.modes
            if self.only in ("", method.key, mode.key)
            and set(self.typed) <= {field.key for field in mode.fields}
        ]


BELOW = "stood at 5 mL at the start"
LINES = (
    Line("text for a number", {"reading": "abc"}, "reading", "not_a_number", "is not a number"),
    Line("either way", {"reading": "1,234"}, "reading", "ambiguous_comma", "1234 or 1.234"),
    Line("final below initial", {"start": "5.00", "end": "0.20"}, "end",
         "final_below_initial", BELOW, only="burette"),
    Line("final below initial", {"start": "5.00", "end": "0.20", "scale": "used"}, "end",
         "final_below_initial", BELOW, only="syringe"),
    Line("final below initial", {"start": "5.00", "p_end": "0.20"}, "p_end",
         "final_below_initial", BELOW, only="burette"),
    Line("0 mL sample", {"sample_volume": "0"}, "sample_volume", "impossible", "0 mL of sample"),
    Line("-5 degrees", {"temperature": "-5 °C"}, "temperature", "impossible", "-5 °C"),
    Line("another dimension", {"reading": "78 kg/V"}, "reading", "wrong_dimension",
         "kg/V does not fit"),
    Line("another dimension", {"temperature": "25 bar"}, "temperature", "wrong_dimension",
         "bar does not fit"),
    Line("another dimension", {"sample_volume": "50 mg/L"}, "sample_volume", "wrong_dimension",
         "mg/L does not fit"),
    Line("pH 19", {"reading": "19"}, "reading", "impossible", "has pH 19", only="ph"),
)  # fmt: skip
CASES = [
    pytest.param(line, method, id=f"{line.name}: {method.key} {line.where}")
    for line in LINES
    for method in METHODS
    if line.modes_of(method)
]
