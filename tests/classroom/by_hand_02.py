"""Exercise 2 worked by hand.

The U-values come from the films of air and the glass, not from the library's table: ISO 6946's films 0.13 and 0.04 and
3 mm of glass with 1.0 W/m·K for a sash; 3 mm of acrylic with 0.18 W/m·K; 3.3 for twin-wall sheet (from memory).
"""

PER_US = 5.678263
"""W/m²·K in one Btu/h·ft²·°F: check-value of the unit conversion in the ht library."""
SASH = 1 / (0.13 + 0.003 / 1.0 + 0.04)
ACRYLIC = 1 / (0.13 + 0.003 / 0.18 + 0.04)
TWIN = 3.3


def shown(value, units):
    """A U-value in the reader's unit."""
    return value / (PER_US if units == "US" else 1)


def saved(value, area, n, units):
    """What a closed gap of air with R 0.18 m²·K/W takes off."""
    after = 1 / (1 / value + 0.18)
    return area * shown(value - after, units) * n["difference"]


def layers(n, units):
    """Films 0.13 and 0.04, two panes of 4 mm, and the gap of the task."""
    fixed = 0.13 + 0.04 + 2 * 0.004
    return 1 / (fixed * (PER_US if units == "US" else 1) + n["between"])


BY_HAND = {
    "A row of old sashes": lambda n, u: n["count"] * n["size"] * shown(SASH, u) * (n["inside"] - n["outside"]),
    "Two panes and what is between": layers,
    "Film for one of three": lambda n, u: {
        "A": saved(SASH, n["old"], n, u), "B": saved(TWIN, n["hollow"], n, u), "C": saved(ACRYLIC, n["odd"], n, u),
    },
    "The neighbour's patched wall": lambda n, u: (
        (n["old"] * shown(SASH, u) + n["hollow"] * shown(TWIN, u)) * n["difference"]
    ),
}  # fmt: skip

SANE = {
    "A row of old sashes": (40, 8000),
    "Two panes and what is between": (0.3, 4),
    "The neighbour's patched wall": (150, 9000),
}
