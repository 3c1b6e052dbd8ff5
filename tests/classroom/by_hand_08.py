"""Exercise 8 worked by hand."""

from by_hand import TO_HOURS, WATER

PACE = {"metric": 7.0, "US": 1.233}
"""[W/m²·K, Btu/h·ft²·°F]: 1 Btu/h·ft²·°F is 5.678 W/m²·K, from memory."""


def _given(n, u, skin, water):
    return PACE[u] * n[skin] * (n[water] - n["air"])


BY_HAND = {
    "Out through the skin": lambda n, u: n["count"] * _given(n, u, "skin", "water"),
    "How long it lasts": lambda n, u: (
        WATER[u] * n["count"] * n["volume"] * (n["warm"] - n["cold"]) * TO_HOURS[u] / n["loss"]
    ),
    "Which store warms the room most?": lambda n, u: {
        letter: _given(n, u, f"{letter.lower()}_skin", f"{letter.lower()}_water") for letter in "ABC"
    },
    "The neighbour's warm wall": lambda n, u: _given(n, u, "skin", "water"),
}

SANE = {
    "Out through the skin": (150, 20000),
    "How long it lasts": (4, 80),
    "The neighbour's warm wall": (300, 13000),
}
