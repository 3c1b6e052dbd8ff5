"""The invented Tamarack Lane house, as it stands after each lesson's measure."""

from functools import lru_cache
from importlib.resources import files

from heatlib._check import single
from heatlib.house.greenhouse import Curtain, Heater, Layer, Pipes, Store
from heatlib.house.housefile import parse_house
from heatlib.tables import entry

__all__ = ["DESIGN_NIGHT", "MEASURES", "demo_house", "demo_text"]

DESIGN_NIGHT = {"coldest": -24.0, "warmest": -12.0}
"""Outside on the design night and on the day before it, clear and calm (invented) [°C]."""

MEASURES = (
    "nothing done yet",
    "nine drums of water stand in",
    "the six sashes get a second pane of film",
    "foam in the dark walls, and a night curtain",
    "leaks sealed, and a lobby at the door",
    "soil mulched, watered in the morning",
    "foam down the edge of the floor",
    "drums moved into the sun behind the south panes",
    "drums set apart, a bed in baskets of stone",
    "buried pipes with a fan",
    "more drums and a small heater",
)
"""What is done to the house in each lesson, from 0 (nothing) on."""

DRUM = 0.208
FOAM = 0.05
BOARD = 0.0254


def demo_house(after_lesson=0):
    """Return the invented Tamarack Lane house after the measures of lessons 1 to ``after_lesson``.

    Parameters
    ----------
    after_lesson : int
        0 for the bare house, up to 10 [–].

    Returns
    -------
    Greenhouse
        The house; invented, and it says so [SI inside].

    Raises
    ------
    ValueError
        If there is no such lesson.

    Examples
    --------
    >>> demo_house(1).store("drums").count
    9
    """
    lesson = single("lesson", after_lesson, "", 0, len(MEASURES) - 1)
    if lesson != int(lesson):
        raise ValueError(f"lesson must be a whole number, but it is {lesson:g}")
    return _after(int(lesson))


def demo_text():
    """Return the house file of the bare demo house, as a grower would write it.

    Returns
    -------
    str
        TOML [text].

    Examples
    --------
    >>> "invented" in demo_text().lower()
    True
    """
    return files("heatlib.house.data").joinpath("tamarack-lane.toml").read_text(encoding="utf-8")


@lru_cache
def _after(lesson):
    """Take one measure upon the other; a house can't be changed, so one serves all who ask."""
    return _STEPS[lesson - 1](_after(lesson - 1)) if lesson else _bare()


@lru_cache
def _bare():
    return parse_house(demo_text(), "tamarack-lane.toml")


def _drums(house):
    drums = Store("drums", "barrels", DRUM, count=9, gap=0.0, sun_share=0.15)
    return house.changed("stores", (drums,))


def _film(house):
    return house.changed("surfaces.sashes.glazing", "glass_and_film")


def _foam(house):
    """Foam between studs behind each board, with a thin board inside; then the curtain."""
    for surface in house.surfaces:
        if surface.layers:
            layers = (Layer("plywood", 0.009), Layer("eps", 2 * FOAM), *surface.layers)
            house = house.changed(f"surfaces.{surface.name}.layers", layers)
            house = house.changed(f"surfaces.{surface.name}.framing", 0.12)
    return house.changed("curtain", Curtain())


def _seal(house):
    rate = entry("tightness", "sealed", "air_change_rate").value
    return house.changed(**{"air.air_change_rate": rate, "air.lobby": True})


def _mulch(house):
    return house.changed(**{"plants.wetness": 0.2, "air.relative_humidity": 0.7})


def _edge(house):
    return house.changed(**{"floor.edge_r_value": 1.4, "floor.edge_depth": 0.6})


def _sunny(house):
    return house.changed(**{"stores.drums.sun_share": 0.45, "place.snow": "snow_fresh", "place.ground": "white_stones"})


def _bed(house):
    apart = house.changed("stores.drums.gap", 0.15)
    bed = Store("bed", "bed", 1.2, material="gravel", surface=4.0, layers=3, sun_share=0.15, absorptance=0.8)
    return apart.changed("stores", (*apart.stores, bed))


def _pipes(house):
    return house.changed("pipes", Pipes(length=6.0, flow=0.15, count=6, spacing=0.45, on_above=20.0))


def _sized(house):
    return house.changed(**{"stores.drums.count": 14, "heater": Heater(1800.0, house.limits.minimum)})


_STEPS = (_drums, _film, _foam, _seal, _mulch, _edge, _sunny, _bed, _pipes, _sized)
