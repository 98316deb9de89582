"""The calculations of a boiler-water program: plain floats in stated units, no Django, no people,
no database."""
