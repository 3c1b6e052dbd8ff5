"""Exercise 7 worked by hand."""

AXIS = 23.44
"""Tilt of the earth's axis [°]: any almanac, from memory."""
SNOW = 0.80
"""Thrown back by fresh snow, as in the table of sunlit surfaces (from memory)."""
HALF = 0.5
"""An upright pane sees half sky and half ground: geometry."""


def panes(n, u):
    """Sun through each load of panes; the sums of the day are read from the sheet's box of numbers."""
    return {letter: n[letter.lower()] * n[name] for letter, name in zip("ABC", ("south", "roof", "east"))}


BY_HAND = {
    "The lowest noon": lambda n, u: 90 - AXIS - n["latitude"],
    "Sun through one wall": lambda n, u: n["area"] * n["south"] * (100 - n["frame"]) / 100,
    "Panes from a neighbour": panes,
    "The second sun": lambda n, u: n["level"] * SNOW * HALF * n["area"],
}

SANE = {
    "The lowest noon": (11, 31),
    "Sun through one wall": (4, 250),
    "The second sun": (0.5, 100),
}
