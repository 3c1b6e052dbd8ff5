"""Exercise 6 worked by hand."""

from math import pi, sqrt

FACTORS = (0.73, 0.54, 0.64, 0.58)
"""No foam; R-10 2 ft down; R-10 4 ft flat; R-5 2 ft down [Btu/h·ft·°F].

Washington Administrative Code 51-11C-61061, as printed there.
"""
TO_METRIC = 1.7307
"""W/m·K in a Btu/h·ft·°F: 0.29307 W ÷ 0.3048 m × 1.8."""
DIFFUSIVITY = 1.0 / (1750 * 1350)
"""Moist garden loam [m²/s]: conductivity over density times specific heat, as in the table (from memory)."""
FOOT = 0.3048


def factors(u):
    """Edge factors in the reader's units."""
    return [f * (TO_METRIC if u == "metric" else 1) for f in FACTORS]


def edge_of(n):
    return 2 * n["length"] + 2 * n["width"]


def lag(n, u):
    """Days of delay: depth × √(year ÷ (4π a)), by Carslaw and Jaeger's wave."""
    depth = n["depth"] * (1 if u == "metric" else FOOT)
    year = 365.25 * 86400
    return depth * sqrt(year / (4 * pi * DIFFUSIVITY)) / 86400


def one_job(n, u):
    bare, *rest = factors(u)
    return {letter: n[letter.lower()] * (bare - f) for letter, f in zip("ABC", rest)}


BY_HAND = {
    "The edge of a bare floor": lambda n, u: factors(u)[0] * edge_of(n) * (n["inside"] - n["outside"]),
    "Late seasons": lag,
    "Foam for one job": one_job,
    "What the foam saves": lambda n, u: (factors(u)[0] - factors(u)[1]) * edge_of(n) * n["fall"],
}

SANE = {
    "The edge of a bare floor": (80, 5000),
    "Late seasons": (10, 120),
    "What the foam saves": (20, 1600),
}
