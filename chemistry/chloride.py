"""Chloride: constants of its titration with silver nitrate."""

CHLORIDE_MG_PER_EQUIVALENT = 35_450.0
"""mg Cl per equivalent, rounded as in the equation of Standard Methods 4500-Cl- B (from memory);
the exact figure is 35,453."""
