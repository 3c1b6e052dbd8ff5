"""The entries of the own-house form: what each is called, how it is read, shown and put into the house.

An entry changes one thing of the house as it is described; everything the form does not show stays as the reader's
file has it.
"""

import math
import re
from collections.abc import Callable
from dataclasses import dataclass, fields, replace

from heatlib._check import choice, number
from heatlib.classroom.conditions import Conditions
from heatlib.house.greenhouse import Curtain, Greenhouse, Heater, Layer, Store
from heatlib.tables import entry, keys
from heatlib.units import from_display, parse_quantity, to_display, unit_of

__all__ = ["Draft", "Entry", "entries", "foam_of", "front", "measures_of", "stretched", "turned"]

FOAM = "eps"
_FOAM_LIKE = 0.06
"""A layer that conducts less than this is insulation [W/m·K]."""
BOARDED, GIVEN = "boards", "a value of your own in the file"
DRUM = 0.208

_PARSED = {
    "length": "length",
    "thickness": "length",
    "area": "area",
    "store_volume": "volume",
    "electric_power": "heat_flow",
    "temperature": "temperature",
    "r_value": "r_value",
}
"""Quantities that may be typed with a unit of their own, such as 12 ft."""
_FEET_AND_INCHES = r"(\d+) ?(?:ft|'|’) ?(\d+(?:\.\d+)?) ?(?:in|\"|”)"


@dataclass(frozen=True)
class Draft:
    """What the form edits: the house and the conditions of its plan."""

    house: Greenhouse
    conditions: Conditions


@dataclass(frozen=True)
class Entry:
    """One labelled entry of the form."""

    name: str
    label: str
    kind: str
    """``number``, ``text``, ``choice`` or ``toggle``."""
    get: Callable
    put: Callable
    quantity: str = ""
    unit: str = ""
    """Unit for quantities that have the same in both systems, such as per hour."""
    low: float = -math.inf
    high: float = math.inf
    options: tuple = ()
    """Pairs of value and words."""
    hint: str = ""
    per: str = ""
    """Quantity that a price is for one of, such as ``area``."""

    def unit_in(self, system):
        """Return the unit the reader sees beside the entry."""
        if self.per:
            return f"{self.unit} per {unit_of(self.per, system).label}"
        return unit_of(self.quantity, system).label if self.quantity else self.unit

    def shown(self, draft, system):
        """Return the value as the form shows it: a text, or yes and no."""
        value = self.get(draft)
        if self.kind != "number":
            return value
        seen = self._seen(value, system)
        exact = (f"{seen:.{digits}g}" for digits in range(1, 7))
        return _plain(next((text for text in exact if abs(float(text) - seen) < 1e-9), f"{seen:.4g}"))

    def _seen(self, value, system):
        """Turn an SI value into what the reader sees."""
        if self.per:
            return value / to_display(1.0, self.per, system)
        return to_display(value, self.quantity, system) if self.quantity else value

    def _meant(self, seen, system):
        """Turn what the reader sees into SI."""
        if self.per:
            return seen * to_display(1.0, self.per, system)
        return from_display(seen, self.quantity, system) if self.quantity else seen

    def words(self, draft, system):
        """Return the value with its unit, for reading."""
        value = self.shown(draft, system)
        if self.kind == "number":
            return f"{value} {self.unit_in(system)}".strip().replace("-", "−")
        if self.kind == "choice":
            return dict(self.options)[value]
        return ("yes" if value else "no") if self.kind == "toggle" else value

    def read(self, typed, draft, system):
        """Return the draft with what the reader typed, or refuse it in one sentence."""
        if self.kind == "number":
            value = self._number(str(typed), system)
        elif self.kind == "choice":
            value = choice(self.label, typed, [value for value, _ in self.options])
        elif self.kind == "toggle":
            if not isinstance(typed, bool):
                raise ValueError(f"{self.label} must be yes or no, but it is {typed!r}")
            value = typed
        else:
            value = str(typed).strip()
            if not value:
                raise ValueError(f"{self.label} must be some words")
        return self.put(draft, value)

    def _number(self, typed, system):
        text = re.sub(r"[\u2009\u202f\u00a0]", "", typed.strip()).replace("−", "-")
        unit = self.unit_in(system)
        plain = re.fullmatch(r"[-+]?(\d+([.,]\d*)?|[.,]\d+)", text)
        if plain:
            value = self._meant(float(text.replace(",", ".")), system)
        elif self.quantity == "length" and (feet := re.fullmatch(_FEET_AND_INCHES, text)):
            value = parse_quantity(f"{float(feet[1]) + float(feet[2]) / 12} ft", "length", self.label)
        elif self.quantity in _PARSED and re.search(r"\d", text):
            value = parse_quantity(text, _PARSED[self.quantity], self.label)
        else:
            raise ValueError(f"{self.label} must be a number{f' in {unit}' if unit else ''}, but it is {typed!r}")
        seen = self._seen(value, system)
        low, high = (self._seen(end, system) for end in (self.low, self.high))
        slack = 1e-9 * max(1.0, abs(seen))
        try:
            number(self.label, round(seen, 9), unit, low - slack, high + slack)
        except ValueError:
            ends = [f"{_plain(f'{end:.4g}')}".replace("-", "−") for end in (low, high)]
            raise ValueError(
                f"{self.label} must be between {ends[0]} and {f'{ends[1]} {unit}'.strip()}, but it is "
                f"{_plain(f'{seen:.6g}').replace('-', '−')} {unit}".rstrip()
            ) from None
        return min(max(value, self.low), self.high)


def _plain(text):
    """Write 1.2e+03 as 1200."""
    return f"{float(text):.0f}" if "e+" in text else text


# ---- what is not one field of the house -----------------------------------------------------------------------------


def measures_of(house):
    """Return length, width, eaves and ridge of the gable house with this floor, volume and roof.

    Parameters
    ----------
    house : Greenhouse
        The house [SI].

    Returns
    -------
    dict
        ``length, width, eaves, ridge`` [m].
    """
    from heatlib.classroom.house_section import section_of

    section = section_of(house)
    return {name: getattr(section, name) for name in ("length", "width", "eaves", "ridge")}


def _shape(length, width, eaves, ridge):
    slope = math.hypot(width / 2, ridge - eaves)
    return {"roof": length * slope, "long": length * eaves, "end": width * (eaves + ridge) / 2}


def stretched(house, **sizes):
    """Return the house with other measures: each surface grows as its side of a gable house does.

    Parameters
    ----------
    house : Greenhouse
        The house [SI].
    **sizes : float
        ``length, width, eaves, ridge`` where they change [m].

    Returns
    -------
    Greenhouse
        The house with new areas, roof slope, floor, edge and volume [SI].
    """
    old = measures_of(house)
    new = old | sizes
    if new["ridge"] < new["eaves"]:
        raise ValueError("the ridge must not be lower than the eaves")
    before, after = _shape(**old), _shape(**new)
    tilt = math.degrees(math.atan2(new["ridge"] - new["eaves"], new["width"] / 2))
    old_tilt = math.degrees(math.atan2(old["ridge"] - old["eaves"], old["width"] / 2))
    surfaces = []
    for surface in house.surfaces:
        side = _side(surface, house)
        changes = {"area": round(surface.area * after[side] / before[side], 6)}
        if side == "roof" and abs(surface.tilt - old_tilt) < 3:
            changes["tilt"] = round(tilt, 6)
        surfaces.append(replace(surface, **changes))
    length, width = new["length"], new["width"]
    floor = replace(house.floor, area=round(length * width, 6), perimeter=round(2 * (length + width), 6))
    volume = round(length * width * (new["eaves"] + new["ridge"]) / 2, 6)
    return house.changed(**{"surfaces": tuple(surfaces), "floor": floor, "volume": volume})


def _side(surface, house):
    if surface.tilt <= 75:
        return "roof"
    return "long" if abs(math.cos(math.radians(surface.facing - front(house)))) > math.cos(math.pi / 4) else "end"


def front(house):
    """Return which way the sunny long side faces: that of the largest roof, or wall, on the sun's side [°]."""
    sun = 180.0 if house.place.latitude >= 0 else 0.0
    roofs = [s for s in house.surfaces if 0 < s.tilt <= 75] or list(house.surfaces)
    return max(roofs, key=lambda s: (math.cos(math.radians(s.facing - sun)) > -1e-9, s.area)).facing


def turned(house, facing):
    """Return the house turned as a whole, until its sunny long side faces so [°]."""
    turn = facing - front(house)
    turned = tuple(replace(s, facing=(s.facing + turn) % 360) for s in house.surfaces)
    return house.changed("surfaces", turned)


def foam_of(surface):
    """Return how thick a surface's insulation is [m]."""
    return sum(layer.thickness for layer in surface.layers if _insulates(layer.material))


def _insulates(material):
    return entry("materials", material, "conductivity").value < _FOAM_LIKE


def _with_foam(surface, thickness):
    """Make the insulation so thick: what is there is stretched, or foam is put in from the inside."""
    there = foam_of(surface)
    if there:
        layers = [replace(layer, thickness=layer.thickness * thickness / there) if _insulates(layer.material) else layer
                  for layer in surface.layers] if thickness else [
                  layer for layer in surface.layers if not _insulates(layer.material)]  # fmt: skip
    else:
        layers = [*([Layer(FOAM, thickness)] if thickness else []), *surface.layers]
    return replace(surface, layers=tuple(layers))


def _covering(surface):
    return surface.glazing or (BOARDED if surface.layers else GIVEN)


def _recovered(surface, covering):
    if covering == _covering(surface):
        return surface
    bare = {"glazing": None, "layers": (), "u_value": None, "r_value": None}
    if covering == BOARDED:
        return replace(surface, **bare | {"layers": (Layer("softwood", 0.0254),), "curtain": False})
    return replace(surface, **bare | {"glazing": covering})


# ---- the entries ----------------------------------------------------------------------------------------------------


def _at(path):
    """Return how to get and to put a value of the house by dotted path."""

    def get(draft):
        part = draft.house
        for step in path.split("."):
            part = getattr(part, step)
        return part

    return get, lambda draft, value: replace(draft, house=draft.house.changed(path, value))


def _limits(cls, name):
    rule = next(item.metadata for item in fields(cls) if item.name == name)
    low = rule["low"] if rule["above"] is None else max(rule["low"], rule["above"] + 1e-3)
    return {"low": low, "high": rule["high"]}


def _house_number(cls, path, label, quantity="", unit="", hint=""):
    get, put = _at(path)
    limits = _limits(cls, path.split(".")[-1])
    return Entry(path, label, "number", get, put, quantity, unit, hint=hint, **limits)


def _house_toggle(path, label, hint=""):
    return Entry(path, label, "toggle", *_at(path), hint=hint)


def _measure(name, label, low, high):
    def put(draft, value):
        return replace(draft, house=stretched(draft.house, **{name: value}))

    return Entry(name, label, "number", lambda draft: measures_of(draft.house)[name], put, "length", low=low, high=high)


def _condition(name, label, quantity="temperature", low=-50.0, high=50.0):
    def put(draft, value):
        return replace(draft, conditions=draft.conditions.changed(**{name: value}))

    kind = "number" if quantity else "text"
    return Entry(f"conditions.{name}", label, kind, lambda d: getattr(d.conditions, name), put, quantity, low=low,
                 high=high)  # fmt: skip


def _price(key, label, unit, per=""):
    def put(draft, value):
        return replace(draft, conditions=draft.conditions.changed(prices={key: value}))

    return Entry(
        f"price.{key}",
        label,
        "number",
        lambda d: d.conditions.prices[key],
        put,
        unit=unit,
        low=0.0,
        high=1e6,
        per=per,
    )


def _surface_entries(index, surface):
    def get(draft):
        return draft.house.surfaces[index]

    def put(change):
        def apply(draft, value):
            rows = list(draft.house.surfaces)
            rows[index] = change(rows[index], value)
            return replace(draft, house=draft.house.changed("surfaces", tuple(rows)))

        return apply

    glazings = [(key, key.replace("_", " ")) for key in keys("glazings")]
    options = (*glazings, (BOARDED, "boards")) + (((GIVEN, GIVEN),) if _covering(surface) == GIVEN else ())
    name = surface.name
    yield Entry(f"surface.{index}.area", f"{name}: area", "number", lambda d: get(d).area,
                put(lambda s, v: replace(s, area=v)), "area", low=0.01, high=5000)  # fmt: skip
    yield Entry(f"surface.{index}.covering", f"{name}: made of", "choice", lambda d: _covering(get(d)),
                put(_recovered), options=options)  # fmt: skip
    if surface.layers:
        yield Entry(f"surface.{index}.foam", f"{name}: insulation", "number", lambda d: foam_of(get(d)),
                    put(_with_foam), "thickness", low=0.0, high=1.0)  # fmt: skip
    if surface.glazing:
        yield Entry(f"surface.{index}.curtain", f"{name}: night curtain", "toggle", lambda d: get(d).curtain,
                    put(lambda s, v: replace(s, curtain=v)))  # fmt: skip


def _curtain():
    def put(draft, wanted):
        house = draft.house.changed("curtain", (draft.house.curtain or Curtain()) if wanted else None)
        if wanted and not any(s.curtain for s in house.surfaces):
            house = house.changed("surfaces", tuple(replace(s, curtain=bool(s.glazing)) for s in house.surfaces))
        return replace(draft, house=house)

    return Entry("curtain", "night curtain", "toggle", lambda d: d.house.curtain is not None, put,
                 hint="drawn at dusk over the panes marked under “The skin”")  # fmt: skip


def _first_barrels(house):
    return next((i for i, store in enumerate(house.stores) if store.kind == "barrels"), None)


def _barrels():
    def get(draft):
        at = _first_barrels(draft.house)
        return 0.0 if at is None else float(draft.house.stores[at].count)

    def put(draft, count):
        if count != round(count):
            raise ValueError(f"number of barrels must be a whole number, but it is {count:g}")
        at = _first_barrels(draft.house)
        if at is not None:
            return replace(draft, house=draft.house.changed(f"stores.{at}.count", int(count)))
        if not count:
            return draft
        names = {store.name for store in draft.house.stores}
        name = next(n for n in ("barrels", "water barrels", "more barrels") if n not in names)
        share = min(0.15, 1 - sum(s.sun_share for s in draft.house.stores if s.count))
        barrels = Store(name, "barrels", DRUM, count=int(count), gap=0.05, sun_share=max(0.0, share))
        return replace(draft, house=draft.house.changed("stores", (*draft.house.stores, barrels)))

    yield Entry("barrels", "number of barrels", "number", get, put, "count", low=0, high=500)

    def volume(draft):
        at = _first_barrels(draft.house)
        return DRUM if at is None else draft.house.stores[at].volume

    def put_volume(draft, value):
        at = _first_barrels(draft.house)
        if at is None:
            raise ValueError("type the number of barrels first, then the size of one")
        store = draft.house.stores[at]
        grown = (value / store.volume) ** (1 / 3)
        sized = replace(store, volume=value, diameter=store.diameter * grown, height=store.height * grown,
                        surface=store.surface and store.surface * grown**2)  # fmt: skip
        stores = (*draft.house.stores[:at], sized, *draft.house.stores[at + 1 :])
        return replace(draft, house=draft.house.changed("stores", stores))

    yield Entry("barrel_size", "water in one barrel", "number", volume, put_volume, "store_volume", low=0.005, high=5.0)

    def share(draft):
        at = _first_barrels(draft.house)
        return 0.0 if at is None else draft.house.stores[at].sun_share

    def put_share(draft, value):
        at = _first_barrels(draft.house)
        if at is None:
            raise ValueError("type the number of barrels first, then the sun on them")
        return replace(draft, house=draft.house.changed(f"stores.{at}.sun_share", value))

    yield Entry("barrel_sun", "sun that falls on the barrels", "number", share, put_share, "share", low=0.0, high=1.0,
                hint="of all that comes in: some 15 % where they stand in the shade of plants, 45 % behind the south "
                "panes")  # fmt: skip


def _heater():
    def put(draft, power):
        house = draft.house
        if not power:
            return replace(draft, house=house.changed("heater", None))
        if house.heater:
            return replace(draft, house=house.changed("heater.power", power))
        return replace(draft, house=house.changed("heater", Heater(power, house.limits.minimum)))

    return Entry("heater", "heater", "number", lambda d: d.house.heater.power if d.house.heater else 0.0, put,
                 "electric_power", low=0.0, high=1e5, hint="0 for none")  # fmt: skip


def _limit():
    def put(draft, value):
        house = draft.house
        follows = house.heater and house.heater.place == "air" and house.heater.setpoint == house.limits.minimum
        house = house.changed("limits.minimum", value)
        return replace(draft, house=house.changed("heater.setpoint", value) if follows else house)

    return Entry("limits.minimum", "coldest the crop stands", "number", _at("limits.minimum")[0], put, "temperature",
                 low=-20.0, high=30.0)  # fmt: skip


def _facing():
    def put(draft, value):
        return replace(draft, house=turned(draft.house, value))

    return Entry("facing", "sunny long side faces", "number", lambda d: front(d.house), put, unit="° from north",
                 low=0.0, high=360.0, hint="90 east, 180 south, 270 west")  # fmt: skip


def entries(draft):
    """Return the entries of the form by group.

    Parameters
    ----------
    draft : Draft
        What the form edits; each of its surfaces has entries of its own [–].

    Returns
    -------
    dict
        Group: tuple of :class:`Entry` [–].
    """
    from heatlib.house import greenhouse as g

    classes = [key.replace("_", " ") for key in keys("tightness")]
    rates = [f"{word} {entry('tightness', key, 'air_change_rate').value:g}" for word, key in
             zip(classes, keys("tightness"))]  # fmt: skip
    money = draft.conditions.currency
    surfaces = [one for i, s in enumerate(draft.house.surfaces) for one in _surface_entries(i, s)]
    return {
        "Name and place": (
            Entry("name", "name of the house", "text", *_at("name")),
            _house_number(g.Place, "place.latitude", "latitude", unit="°", hint="south of the equator with a minus"),
            _house_number(g.Place, "place.elevation", "height above the sea", "length"),
        ),
        "The cold it must stand": (
            _condition("coldest", "coldest night outside"),
            _condition("warmest", "warmest of the day before"),
            _limit(),
            Entry("limits.crop", "crop", "text", *_at("limits.crop")),
        ),
        "Size": (
            _measure("length", "length", 1.0, 200.0),
            _measure("width", "width", 1.0, 60.0),
            _measure("eaves", "height of the eaves", 0.3, 10.0),
            _measure("ridge", "height of the ridge", 0.5, 15.0),
            _facing(),
        ),
        "The skin": tuple(surfaces),
        "Leaks, door, damp": (
            _house_number(g.Air, "air.air_change_rate", "air changes", unit="per hour", hint="; ".join(rates)),
            _house_number(g.Air, "air.door_openings", "door openings", unit="per hour"),
            _house_toggle("air.lobby", "lobby at the door"),
            _house_number(g.Plants, "plants.area", "bed with plants", "area"),
        ),
        "Floor edge and curtain": (
            _house_number(g.Floor, "floor.edge_r_value", "R of insulation down the edge", "r_value"),
            _house_number(g.Floor, "floor.edge_depth", "depth of that insulation", "length"),
            _curtain(),
        ),
        "Barrels and heater": (*_barrels(), _heater()),
        "An ordinary winter": (
            _condition("winter_night", "nights of the coldest month"),
            _condition("winter_day", "days of the coldest month"),
            _condition("year_mean", "mean of the whole year"),
        ),
        "Prices (invented until you put in yours)": (
            _condition("currency", "word for the money", quantity=""),
            _price("electricity", "electricity", f"{money} per kWh"),
            _price("barrel", "barrel", f"{money} each"),
            _price("heater", "heater", f"{money} each"),
            _price("film", "second film", money, "area"),
            _price("curtain", "curtain", money, "area"),
            _price("foam", "foam board", money, "room_volume"),
            _price("lining", "thin board over the foam", money, "area"),
            _price("sealing", "tape and gasket", money, "length"),
            _price("lobby", "lobby", f"{money} each"),
            _price("mulch", "mulch", money, "area"),
        ),
    }
