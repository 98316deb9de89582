"""Texts that can be typed or sent, whatever they are.

`make test` tries the same ones every time. With WATERSIDE_EXAMPLES=500 in the environment, each
test tries that many new ones, and makes what fails as small as it can.
"""

import os

from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st

HARD = (
    "", " ", "\t\n", "abc", "0", "-0", "-5", "+", "..", "e5", "1,234", "12,5", "1.234,5", "1,2,3",
    "1_000", "0x10", "1/2", "nan", "inf", "-inf", "1e400", "1e-400", "1e30", "9" * 20, "9" * 21,
    "1" * 300, "x" * 301, "12" + " " * 60, "a" + " " * 250 + "b", "٣", "１２", "²", "½",
    "Ⅻ", "\u2212 3",
    "12\u200f", "\u202e12", "\ufeff7", "1\x002", "\x1b[31m", "7\x1c", "7\x85", "\ud800", "7\udfff",
    "🜄", "e\u0301" * 9, "\u0130", "12 psi", "7 foo", "1e5 degF", "-5 °C", "5 micrograms/milliliter",
    "3 kilometers/hour", "<script>alert(1)</script>", "'\"><img src=x onerror=alert(1)>", "<!--",
    "{{ 7|add:7 }}", "%(typed)s", "%s %d %", "&lt;&#0;", "]]>", "\r\n", "a\u2028b", "\\", "None",
)  # fmt: skip
TEXT = (
    st.sampled_from(HARD)
    | st.text(alphabet="0123456789.,eE+- ", max_size=12)
    | st.text(max_size=30)
    | st.text(st.characters(), max_size=30)  # halves of pairs too
    | st.integers(-2, 20_000).map(str)
)

_EXAMPLES = int(os.environ.get("WATERSIDE_EXAMPLES", "0"))


def as_many_as(usual: int) -> settings:
    """Return how a test tries its examples: `usual` many, the same ones every time."""
    return settings(
        max_examples=_EXAMPLES or usual,
        derandomize=not _EXAMPLES,
        phases=list(Phase) if _EXAMPLES else [Phase.generate],
        deadline=None,
        database=None,
        suppress_health_check=list(HealthCheck),
    )
