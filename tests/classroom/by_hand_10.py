"""Exercise 10 worked by hand."""

from by_hand import TO_HOURS, WATER


def money(n, u):
    """Bring all three ways to money in a year; the least wins."""
    costs = {
        "A": n["drums"] * n["drum_price"] / n["drum_years"],
        "B": n["energy"] * n["nights"] * n["price"],
        "C": n["foam"] / n["foam_years"],
    }
    return {letter: 1 / cost for letter, cost in costs.items()}


BY_HAND = {
    "Water for one night": lambda n, u: n["loss"] * n["hours"] / TO_HOURS[u] / WATER[u] / (n["warm"] - n["cold"]),
    "The heater for the unkind case": lambda n, u: n["each"] * (n["inside"] - n["outside"]) - n["stores"],
    "Where the money goes": money,
    "A neighbour's heater": lambda n, u: (
        n["each"] * n["degrees"] - n["drums"] * WATER[u] * n["volume"] * n["fall"] * TO_HOURS[u] / n["hours"]
    ),
}

SANE = {
    "Water for one night": (150, 9000),
    "The heater for the unkind case": (300, 21000),
    "A neighbour's heater": (700, 17000),
}
