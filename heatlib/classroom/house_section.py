"""From a described house to its cutaway: the section, the heat paths of a loss bill or an hour, and the stores.

A house file holds areas and no drawing, so the section is worked out: width and length from the floor's area and
perimeter, the rise of the roof from its tilt, the eaves from the volume. Every house is drawn with a gable roof.
"""

import math

from heatlib import tables
from heatlib._check import number
from heatlib.classroom.cutaway import DARK, FloorLayer, Flow, Section, Store

__all__ = ["flows_of_bill", "section_of", "stores_of"]

_FOAM_LIKE = 0.06
"""A layer that conducts less than this counts as insulation in the drawing [W/m·K]."""

_LOOKS = {"gravel": "gravel", "stone": "gravel", "concrete": "concrete", "wood": "wood", "board": "wood"}


def _is_wall(surface):
    return surface.tilt > 75


def _faces(surface):
    """Return north, south or ends: which side of the section a surface belongs to."""
    away = abs((surface.facing - 180 + 180) % 360 - 180)
    if not _is_wall(surface):
        return "south" if away <= 90 else "north"
    return "south" if away < 60 else "north" if away > 120 else "ends"


def _rectangle(floor):
    """Return length and width of the rectangle with this area and perimeter; a square where there is none."""
    half = floor.perimeter / 2
    inner = half * half / 4 - floor.area
    if inner <= 0:
        return math.sqrt(floor.area), math.sqrt(floor.area)
    return half / 2 + math.sqrt(inner), half / 2 - math.sqrt(inner)


def _insulation(house):
    """Return the thickness of the thickest insulation in a dark wall [m], and the parts that hold any."""
    thick = {}
    for surface in house.surfaces:
        foam = sum(layer.thickness for layer in surface.layers if _conductivity(layer.material) < _FOAM_LIKE)
        if foam:
            part = _place(surface)[0]
            part = part if part in DARK else "base"
            thick[part] = max(foam, thick.get(part, 0.0))
    return max(thick.values(), default=0.0), tuple(part for part in DARK if part in thick)


def _conductivity(material):
    return tables.entry("materials", material, "conductivity").value


def _panes(house):
    """Return how many panes the largest glazed surface on the south has."""
    glazed = [surface for surface in house.surfaces if surface.glazing]
    if not glazed:
        return 1
    largest = max(glazed, key=lambda surface: (_faces(surface) == "south", surface.area))
    return round(tables.entry("glazings", largest.glazing, "panes").value)


def _look(layer):
    if _conductivity(layer.material) < _FOAM_LIKE:
        return "foam"
    return next((look for word, look in _LOOKS.items() if word in layer.material), "soil")


def section_of(house, *, curtain=True, snow=0.0):
    """Work out what the cutaway draws of a house.

    Parameters
    ----------
    house : Greenhouse
        The house [SI].
    curtain : bool
        Whether its night curtain, if it has one, is drawn [–].
    snow : float
        Depth of snow outside [m].

    Returns
    -------
    Section
        Lengths, layers and parts [m].

    Raises
    ------
    ValueError
        If the house is too odd to be drawn as a gable.
    """
    length, width = _rectangle(house.floor)
    roofs = [surface for surface in house.surfaces if not _is_wall(surface)]
    area = sum(surface.area for surface in roofs)
    tilt = sum(surface.tilt * surface.area for surface in roofs) / area if area else 30.0
    middle = house.volume / house.floor.area
    rise = min(width / 2 * math.tan(math.radians(tilt)), 1.4 * middle)
    eaves = middle - rise / 2
    boards = sum(s.area for s in house.surfaces if not s.glazing and _is_wall(s) and _faces(s) == "south")
    pipes = house.pipes
    insulation, insulated = _insulation(house)
    layers = tuple(
        FloorLayer(layer.material.replace("_", " "), layer.thickness, _look(layer)) for layer in house.floor.layers
    )
    return Section(
        width=width,
        length=length,
        eaves=eaves,
        ridge=eaves + rise,
        boarded_base=min(boards / length, eaves),
        insulation=insulation,
        insulated=insulated,
        panes=_panes(house),
        north_glazed=_north_glazed(house),
        floor=layers,
        edge_depth=house.floor.edge_depth if house.floor.edge_r_value else 0.0,
        curtain=bool(house.curtain) and curtain,
        heater=bool(house.heater and house.heater.power),
        pipes=round(pipes.count) if pipes else 0,
        pipe_depth=pipes.depth if pipes else 0.6,
        pipe_diameter=pipes.diameter if pipes else 0.1,
        snow=number("snow depth", snow, "m", 0, 5),
    )


def _north_glazed(house):
    north = [surface for surface in house.surfaces if _faces(surface) == "north"]
    glass = sum(surface.area for surface in north if surface.glazing)
    return glass > 0.5 * sum(surface.area for surface in north) > 0


def _place(surface):
    side = _faces(surface)
    if side == "ends":
        return "ends", "East and west ends"
    if not _is_wall(surface):
        return f"{side}_roof", f"{side.title()} roof"
    if side == "south" and not surface.glazing:
        return "south_base", "South boards"
    return f"{side}_wall", f"{side.title()} wall"


_OTHERS = {
    "sky": ("sky", "Night sky"),
    "leaks": ("leaks", "Leaks"),
    "door": ("leaks", "Leaks"),
    "vents": ("leaks", "Leaks"),
    "edge": ("edge", "Floor edge"),
    "ground": ("floor", "Deep ground"),
    "vapour_leaks": ("moisture", "Moist air"),
    "vapour_vents": ("moisture", "Moist air"),
    "wet_panes": ("moisture", "Moist air"),
}


def flows_of_bill(house, bill, strong=None):
    """Turn a loss bill into the arrows of the cutaway; their watts sum to the bill's total.

    Parameters
    ----------
    house : Greenhouse
        The house [SI].
    bill : LossBill
        Its bill at one moment [W].
    strong : iterable of str, optional
        Places to emphasise; all where left out [text].

    Returns
    -------
    tuple of Flow
        One arrow a place, positive = lost [W].
    """
    watts, labels = {}, {}

    def add(place, label, amount):
        watts[place] = watts.get(place, 0.0) + amount
        labels[place] = label

    for row in bill.rows:
        if row.key in ("glazing", "walls"):
            for name, amount in row.parts.items():
                add(*_place(house.surface(name)), amount)
        elif row.key in _OTHERS:
            add(*_OTHERS[row.key], row.watts)
        else:
            raise ValueError(f"the cutaway has no place for the path {row.key!r} of the loss bill")
    wanted = None if strong is None else set(strong)
    return tuple(Flow(place, labels[place], w, wanted is None or place in wanted) for place, w in watts.items())


def stores_of(house, temperatures, *, empty=0.0, full=20.0, ice=None):
    """Turn the stores of a house into those of the cutaway.

    Parameters
    ----------
    house : Greenhouse
        The house [SI].
    temperatures : dict of float
        Temperature of each store by name [°C].
    empty, full : float
        Temperatures at which a store is drawn empty and full of heat [°C].
    ice : dict of float, optional
        Share of each store that is frozen [0–1].

    Returns
    -------
    tuple of Store
        What stands there [°C, 0–1].
    """
    number("temperature of a full store", full, "°C", above=empty)
    shown = []
    for store in house.stores:
        if not store.count:
            continue
        degrees = number(f"temperature of {store.name}", temperatures[store.name], "°C")
        fill = min(max((degrees - empty) / (full - empty), 0.0), 1.0)
        count = round(store.count)
        kind, word = ("barrel", "barrel" if count == 1 else "barrels") if store.kind == "barrels" else ("bed", "Bed")
        label = f"{count} {word}" if kind == "barrel" else word
        lying = store.pose == "lying"
        wide, high = (store.height, store.diameter) if lying else (store.diameter, store.height)
        frozen = (ice or {}).get(store.name, 0.0)
        shown.append(Store(kind, label, degrees, fill, count, frozen, wide, high))
    return tuple(shown)
