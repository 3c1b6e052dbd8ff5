"""What can be done to a house, what it takes and what it saves: an order of works by saving per unit of money."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from heatlib.classroom.own_fields import foam_of
from heatlib.house.bill import loss_bill
from heatlib.house.greenhouse import Curtain, Layer
from heatlib.tables import entry

__all__ = ["Purchase", "Work", "order_of_works", "works_for"]

FOAM, EDGE_FOAM, EDGE_DEPTH, EDGE_R = 0.10, 0.05, 0.6, 1.4
"""Foam in the walls and down the edge [m], how deep it goes [m], its R [m²K/W]."""
OFFCUTS = 1.1
"""A tenth is bought for offcuts and overlaps; common practice, no source."""
_FILMED = {
    "glass_single": "glass_and_film",
    "glass_salvaged": "glass_and_film",
    "film_single": "film_double",
    "film_single_infrared": "film_double_infrared",
}
_DRY, _DRIER_AIR = 0.2, 0.7
"""Wetness of a mulched bed watered in the morning, and the humidity that leaves; common practice, no source [0–1]."""


@dataclass(frozen=True)
class Purchase:
    """A line of the buying list: what, how much of which quantity [SI], and what it costs [money]."""

    item: str
    amount: float
    quantity: str
    cost: float
    thickness: float = 0.0
    """Of boards bought by area; 0 where it is of no matter [m]."""


@dataclass(frozen=True)
class Work:
    """One thing to do: the changes it makes, what must be bought, and what it saves in its turn [W]."""

    name: str
    changes: Mapping
    purchases: tuple
    saved: float = 0.0

    @property
    def cost(self):
        """What must be bought for it [money]."""
        return sum(one.cost for one in self.purchases)

    @property
    def per_money(self):
        """Watts saved for one unit of money; no end where it costs nothing [W]."""
        return self.saved / self.cost if self.cost else math.inf


def works_for(house, prices):
    """List what is worth doing to a house and not yet done.

    Parameters
    ----------
    house : Greenhouse
        The house as it stands [SI].
    prices : mapping
        Price by key, as :class:`heatlib.classroom.conditions.Conditions` holds them [money].

    Returns
    -------
    tuple of Work
        Without their savings [–].
    """
    found = (make(house, prices) for make in (_seal, _lobby, _film, _curtain, _foam, _edge, _mulch))
    return tuple(work for work in found if work is not None)


def order_of_works(house, prices, inside, outside):
    """Put the works in order: always the one next that saves most for its money, after those before it.

    Parameters
    ----------
    house : Greenhouse
        The house as it stands [SI].
    prices : mapping
        Price by key [money].
    inside, outside : float
        Air on the night by which they are judged [°C].

    Returns
    -------
    tuple of Work
        With what each saves in its turn; one that saves nothing then is left out [W].
    """
    left, done = list(works_for(house, prices)), []
    total = loss_bill(house, inside, outside).total
    while left:
        tried = []
        for work in left:
            after = loss_bill(house.changed(**work.changes), inside, outside).total
            tried.append(replace(work, saved=total - after))
        best = max(tried, key=lambda work: (work.per_money, work.saved))
        if best.saved <= 0.5:
            break
        house = house.changed(**best.changes)
        total -= best.saved
        done.append(best)
        left = [work for work in left if work.name != best.name]
    return tuple(done)


def _buy(item, amount, quantity, price):
    return Purchase(item, amount, quantity, amount * price)


def _boards(item, area, thickness, price):
    """Foam is bought by area, priced by volume."""
    return Purchase(item, area, "area", area * thickness * price, thickness)


def _seal(house, prices):
    tight = entry("tightness", "sealed", "air_change_rate").high
    if house.air.air_change_rate <= 1.2 * tight:
        return None
    joints = OFFCUTS * sum(4 * math.sqrt(surface.area) for surface in house.surfaces)
    bought = _buy("tape and gasket for the joints (estimate)", joints, "length", prices["sealing"])
    return Work("seal the leaks", {"air.air_change_rate": tight}, (bought,))


def _lobby(house, prices):
    if house.air.lobby or not house.air.door_openings:
        return None
    return Work("lobby at the door", {"air.lobby": True}, (_buy("lobby or porch", 1, "count", prices["lobby"]),))


def _film(house, prices):
    single = [surface for surface in house.surfaces if surface.glazing in _FILMED]
    if not single:
        return None
    changes = {f"surfaces.{surface.name}.glazing": _FILMED[surface.glazing] for surface in single}
    area = OFFCUTS * sum(surface.area for surface in single)
    return Work("second layer on the single panes", changes, (_buy("film with battens", area, "area", prices["film"]),))


def _curtain(house, prices):
    panes = [surface for surface in house.surfaces if surface.glazing]
    if house.curtain or not panes:
        return None
    changes = {f"surfaces.{surface.name}.curtain": True for surface in panes} | {"curtain": Curtain()}
    area = OFFCUTS * sum(surface.area for surface in panes)
    return Work("night curtain", changes, (_buy("curtain with wires and edge seals", area, "area", prices["curtain"]),))


def _foam(house, prices):
    bare = [surface for surface in house.surfaces if surface.layers and foam_of(surface) < FOAM / 2]
    if not bare:
        return None
    changes = {}
    for surface in bare:
        changes[f"surfaces.{surface.name}.layers"] = (Layer("plywood", 0.009), Layer("eps", FOAM), *surface.layers)
        changes[f"surfaces.{surface.name}.framing"] = surface.framing or 0.12
    area = OFFCUTS * sum(surface.area for surface in bare)
    bought = (
        _boards("foam board in the dark walls", area, FOAM, prices["foam"]),
        _buy("thin board to cover that foam", area, "area", prices["lining"]),
    )
    return Work("foam in the dark walls", changes, bought)


def _edge(house, prices):
    floor = house.floor
    if floor.edge_r_value >= EDGE_R / 2 and floor.edge_depth:
        return None
    area = OFFCUTS * floor.perimeter * EDGE_DEPTH
    changes = {"floor.edge_r_value": EDGE_R, "floor.edge_depth": max(EDGE_DEPTH, floor.edge_depth)}
    bought = _boards("foam board down the edge", area, EDGE_FOAM, prices["foam"])
    return Work("foam down the floor's edge", changes, (bought,))


def _mulch(house, prices):
    if not house.plants.area or house.plants.wetness <= 1.2 * _DRY:
        return None
    bought = _buy("mulch on the bed", house.plants.area, "area", prices["mulch"])
    changes = {"plants.wetness": _DRY, "air.relative_humidity": min(_DRIER_AIR, house.air.relative_humidity)}
    return Work("mulch, and water in the morning", changes, (bought,))
