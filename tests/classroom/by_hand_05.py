"""Exercise 5 worked by hand."""

VAPOUR = {"metric": 2477, "US": 1065 * 8.345}
"""Heat of evaporation near 10 °C [kJ/L, Btu/gal]: 2477 kJ/kg, 1065 Btu/lb × 8.345 lb/gal, steam tables, from memory."""
MOST = {"0": 3.79, "5": 5.42, "10": 7.66, "15": 10.69, "20": 14.76}
"""Saturated air at sea level [parts in 1000]: ASHRAE Handbook of Fundamentals 2017, chapter 1, table 2 (5 °C read
through psychrolib, 0 and 20 °C through CoolProp, 10 and 15 °C from memory)."""
FILM = {"metric": 0.13, "US": 0.13 * 5.678263}


def pane(u_value, n, u):
    """Return the inside of a dry pane."""
    return n["warm"] - u_value * FILM[u] * (n["warm"] - n["cold"])


def dry_panes(n, u):
    """Cross out what drips; the cheaper, the better."""
    panes = {"A": "single", "B": "twin", "C": "triple"}
    return {letter: 1 / n[f"{kind}_price"] for letter, kind in panes.items() if pane(n[kind], n, u) > n["dew"]}


BY_HAND = {
    "The inside of a pane": lambda n, u: pane(n["u_value"], n, u),
    "Fog in the house": lambda n, u: 100 * MOST[n["cold"]] / MOST[n["warm"]],
    "The cheapest pane that stays dry": dry_panes,
    "The neighbour's wet floor": lambda n, u: n["rate"] * n["hours"] * VAPOUR[u] / 1000,
}

SANE = {
    "The inside of a pane": (1.5, 65),
    "Fog in the house": (20, 80),
    "The neighbour's wet floor": (3, 190),
}

CLOSE = {"The inside of a pane": 0.035, "Fog in the house": 0.03}
"""A temperature of 1.5 °C is printed to a tenth of a degree, half of which is 3.4 %. Relative humidity by weight lies
up to 2 % beside that by pressure, which the library takes."""
