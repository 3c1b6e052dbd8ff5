"""Exercise 1 worked by hand."""

from by_hand import FREEZING_AT, FREEZING_HEAT, KILOWATT_HOUR, TO_HOURS, WATER, WATER_WEIGHT


def bench(n, u):
    """Weigh each store, cross out what is too heavy, and return the heat of the rest."""
    weights = [WATER_WEIGHT[u] * n["cans"], n["stone_weight"] * n["blocks"], n["brick_weight"] * n["bricks"]]
    heats = [WATER[u] / WATER_WEIGHT[u] * weights[0], n["stone"] * weights[1], n["brick"] * weights[2]]
    return {letter: heat for letter, heat, weight in zip("ABC", heats, weights) if weight <= n["limit"]}


BY_HAND = {
    "A drum by night": lambda n, u: WATER[u] * n["volume"] * (n["warm"] - n["cold"]) / 1000,
    "The tank for the drip lines": lambda n, u: (
        n["volume"] * (WATER[u] * (n["warm"] - FREEZING_AT[u]) + FREEZING_HEAT[u]) * TO_HOURS[u] / n["loss"]
    ),
    "A store for the raised bench": bench,
    # W·h ÷ 1000 gives kWh, × 1000 gives kJ or Btu: the thousands cancel
    "The heater in the drum": lambda n, u: n["power"] * n["hours"] * KILOWATT_HOUR[u] / WATER[u] / n["volume"],
}

SANE = {
    "A drum by night": (2, 35),
    "The tank for the drip lines": (12, 240),
    "The heater in the drum": (2, 75),
}
