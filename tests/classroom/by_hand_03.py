"""Exercise 3 worked by hand: ISO 6946's films, a board of 0.12 W/m·K and bead board of 0.0355 W/m·K (ASHRAE 2013)."""

PER_US = 5.678263
"""W/m²·K in one Btu/h·ft²·°F: check-value of the unit conversion in the ht library."""
BARE = 0.13 + 0.0254 / 0.12 + 0.04
INCH = 0.0254 / 0.0355


def u_value(inches, units):
    """U of a board wall with so many inches of foam, in the reader's unit."""
    return 1 / (BARE + inches * INCH) / (PER_US if units == "US" else 1)


def next_inch(n, units):
    """What one more inch saves on each wall."""
    walls = {"A": ("bare", 0), "B": ("one", 1), "C": ("two", 2)}
    return {
        letter: n[name] * (u_value(k, units) - u_value(k + 1, units)) * n["difference"]
        for letter, (name, k) in walls.items()
    }


BY_HAND = {
    "Foam behind the boards": lambda n, u: n["area"] * u_value(n["count"], u) * n["difference"],
    "Paid back in how many years?": lambda n, u: n["price"] / (n["power"] * n["hours"] / 1000 * n["coin"]),
    "Where does the next inch go?": next_inch,
    # shares are printed in per cent; R-values in the reader's unit, so the loss is too
    "The neighbour's studs": lambda n, u: (
        n["area"] * n["difference"] * ((1 - n["part"] / 100) / n["between"] + n["part"] / 100 / n["stud"])
    ),
}

SANE = {
    "Foam behind the boards": (15, 4000),
    "Paid back in how many years?": (0.5, 25),
    "The neighbour's studs": (25, 4000),
}
