"""Exercise 9 worked by hand."""

HALF, ONE, TWO, THREE = 0.393, 0.632, 0.865, 0.950
"""1 − e^−n for 0.5, 1, 2 and 3: any table of exponentials."""
AIR = {"metric": 0.336, "US": 0.01805 * 60}
"""Heat of air by flow [Wh/m³·K; Btu·min/ft³·h·°F]: 1.21 kJ/m³·K ÷ 3.6; 0.018 Btu/ft³·°F × 60, the usual 1.08."""

BY_HAND = {
    "What comes back": lambda n, u: n["warm"] - TWO * (n["warm"] - n["soil"]),
    "What the air leaves behind": lambda n, u: AIR[u] * n["flow"] * (n["warm"] - n["back"]),
    "Three beds of pipes": lambda n, u: {
        "A": n["a_flow"] * THREE * (n["warm"] - n["a_soil"]),
        "B": n["b_flow"] * ONE * (n["warm"] - n["b_soil"]),
        "C": n["c_flow"] * TWO * (n["warm"] - n["c_soil"]),
    },
    "Twice as long": lambda n, u: TWO * (n["warm"] - n["soil"]),
}

CLOSE = {"What comes back": 0.03}
"""A small difference of two temperatures: the sheet's share, rounded to two figures, shows."""

SANE = {
    "What comes back": (8, 75),
    "What the air leaves behind": (700, 30000),
    "Twice as long": (8, 60),
}
