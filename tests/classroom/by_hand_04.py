"""Exercise 4 worked by hand."""

AIR = {"metric": 1006 * 1.256 / 3600, "US": 0.24 * 0.0784}
"""Heat that air takes [Wh/m³·°C, Btu/ft³·°F]: 1006 J/kg·°C and 1.256 kg/m³ at 8 °C and sea level, 0.24 Btu/lb·°F and
0.0784 lb/ft³, handbook values from memory; WAC 51-11C table A108.1(2) rounds to 0.018 for warmer air."""


def first(n, u):
    """Turn two of the measures into heat; the third is heat already."""
    heat = AIR[u] * n["fall"]
    return {
        "A": heat * n["volume"] * (n["before"] - n["after"]),
        "B": heat * n["saved"] * n["openings"],
        "C": n["film"],
    }


BY_HAND = {
    "Cracks on a cold night": lambda n, u: AIR[u] * n["volume"] * n["rate"] * (n["warm"] - n["cold"]),
    "What to do first": first,
    "The neighbour's draughty house": lambda n, u: AIR[u] * n["volume"] / n["time"] * n["fall"],
    "Air for a flame": lambda n, u: AIR[u] * n["fresh"] * n["fall"],
}

SANE = {
    "Cracks on a cold night": (90, 20000),
    "The neighbour's draughty house": (100, 12000),
    "Air for a flame": (100, 5000),
}

CLOSE = {"Cracks on a cold night": 0.03}
"""The library weighs the air at the inside temperature of the task, 4 to 12 °C: 1.5 % to either side of 8 °C."""
