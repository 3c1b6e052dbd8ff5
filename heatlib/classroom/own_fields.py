"""The entries of the own-house form: what each is called, how it is read, shown and put into the house.

An entry changes one thing of the house as it is described; everything the form does not show stays as the reader's
file has it.
"""

import math
from dataclasses import fields, replace

from heatlib.classroom.conditions import FUELS
from heatlib.classroom.own_entry import Draft, Entry
from heatlib.classroom.own_parts import list_entries, part_entries, rows_at, single_entries, value_at, without
from heatlib.house.greenhouse import (
    Curtain,
    Floor,
    Heater,
    Layer,
    Pipes,
    Shade,
    Sighting,
    SnowCover,
    Store,
    Surface,
    Tree,
    Vents,
)
from heatlib.tables import entry, keys

__all__ = ["Draft", "Entry", "entries", "foam_of", "front", "fuel_of", "measures_of", "stretched", "turned"]

FOAM = "eps"
_FOAM_LIKE = 0.06
"""A layer that conducts less than this is insulation [W/m·K]."""
BOARDED = "boards"
OWN_VALUES = {"u_value": "a U-value of its own", "r_value": "an R-value of its own"}
DRUM = 0.208

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
    return surface.glazing or (BOARDED if surface.layers else "u_value" if surface.u_value else "r_value")


def _recovered(surface, covering):
    if covering == _covering(surface):
        return surface
    bare = {"glazing": None, "layers": (), "u_value": None, "r_value": None}
    if covering == BOARDED:
        return replace(surface, **bare | {"layers": (Layer("softwood", 0.0254),), "curtain": False})
    if covering in OWN_VALUES:
        return replace(surface, **bare | {covering: 1.0, "curtain": False})
    return replace(surface, **bare | {"glazing": covering})


# ---- the entries ----------------------------------------------------------------------------------------------------


def _limits(cls, name):
    rule = next(item.metadata for item in fields(cls) if item.name == name)
    low = rule["low"] if rule["above"] is None else max(rule["low"], rule["above"] + 1e-3)
    return {"low": low, "high": rule["high"]}


def _house_number(cls, path, label, quantity="", unit="", hint=""):
    get, put = value_at(path)
    limits = _limits(cls, path.split(".")[-1])
    return Entry(path, label, "number", get, put, quantity, unit, hint=hint, **limits)


def _house_toggle(path, label, hint=""):
    return Entry(path, label, "toggle", *value_at(path), hint=hint)


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


def _layer(draft, number):
    return Layer("softwood", 0.02)


def _surface_entries(draft, index, surface):
    def get(draft):
        return draft.house.surfaces[index]

    def put(change):
        def apply(draft, value):
            rows = list(draft.house.surfaces)
            rows[index] = change(rows[index], value)
            return replace(draft, house=draft.house.changed("surfaces", tuple(rows)))

        return apply

    glazings = [(key, key.replace("_", " ")) for key in keys("glazings")]
    options = (*glazings, (BOARDED, "boards"), *OWN_VALUES.items())
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
    own = {"u_value": "u_value", "r_value": "r_value"}
    for one in (one for one in own if getattr(surface, one)):
        yield Entry(f"surface.{index}.{one}", f"{name}: {OWN_VALUES[one][2:]}", "number",
                    lambda d, one=one: getattr(get(d), one), put(lambda s, v, one=one: replace(s, **{one: v})), one,
                    low=0.01, high=20.0)  # fmt: skip
    known = ("area", "glazing", "u_value", "r_value", "curtain")
    yield from part_entries(f"surface.{index}", name, Surface, get,
                            lambda draft, item: put(lambda s, v: v)(draft, item), known)  # fmt: skip
    if surface.layers:
        place = (lambda d: get(d).layers, put(lambda s, rows: replace(s, layers=tuple(rows))))
        label = f"layer of {name}, from the inside"
        yield from list_entries(draft, f"surface.{index}.layers", label, Layer, place, _layer)

    def gone(draft):
        rows = draft.house.surfaces
        return replace(draft, house=draft.house.changed("surfaces", rows[:index] + rows[index + 1 :]))

    yield without(f"surface.{index}.remove", name, gone)


def _add_surface():
    def put(draft, _):
        names = {surface.name for surface in draft.house.surfaces}
        name = next(name for n in range(1, len(names) + 2) if (name := f"new surface {n}") not in names)
        new = Surface(name, 1.0, front(draft.house), 90.0, glazing="glass_single")
        return replace(draft, house=draft.house.changed("surfaces", (*draft.house.surfaces, new)))

    return Entry("surface.add", "Add a surface", "button", lambda d: False, put)


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

    get = value_at("limits.minimum")[0]
    return Entry("limits.minimum", "coldest the crop stands", "number", get, put, "temperature", low=-20.0, high=30.0)


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
    stores = [(i, store) for i, store in enumerate(draft.house.stores)]
    return {
        "Name and place": (
            Entry("name", "name of the house", "text", *value_at("name")),
            _house_number(g.Place, "place.latitude", "latitude", unit="°", hint="south of the equator with a minus"),
            *part_entries("place", "place", g.Place, *value_at("place"), ("latitude", "elevation", "name")),
            _house_number(g.Place, "place.elevation", "height above the sea", "length"),
        ),
        "The cold it must stand": (
            _condition("coldest", "coldest night outside"),
            _condition("warmest", "warmest of the day before"),
            _limit(),
            _house_number(g.Limits, "limits.maximum", "hottest the crop stands", "temperature"),
            Entry("limits.crop", "crop", "text", *value_at("limits.crop")),
        ),
        "Size": (
            _measure("length", "length", 1.0, 200.0),
            _measure("width", "width", 1.0, 60.0),
            _measure("eaves", "height of the eaves", 0.3, 10.0),
            _measure("ridge", "height of the ridge", 0.5, 15.0),
            _facing(),
        ),
        **{
            f"Skin: {surface.name}": tuple(_surface_entries(draft, i, surface))
            for i, surface in enumerate(draft.house.surfaces)
        },
        "More of the skin": (_add_surface(),),
        "Leaks, door, damp": (
            _house_number(g.Air, "air.air_change_rate", "air changes", unit="per hour", hint="; ".join(rates)),
            _house_number(g.Air, "air.door_openings", "door openings", unit="per hour"),
            _house_number(g.Air, "air.door_seconds", "door stays open each time", unit="s"),
            _house_toggle("air.lobby", "lobby at the door"),
            _house_toggle("air.wind_dependent", "leaks grow with the wind"),
            _house_number(g.Air, "air.relative_humidity", "humidity of the air", "share"),
            _house_number(g.Plants, "plants.area", "bed with plants", "area"),
            _house_number(g.Plants, "plants.wetness", "how wet the bed is", "share", hint="0 dry, 100 soaked"),
        ),
        "Floor and its edge": (
            _house_number(g.Floor, "floor.edge_r_value", "R of insulation down the edge", "r_value"),
            _house_number(g.Floor, "floor.edge_depth", "depth of that insulation", "length"),
            *part_entries("floor", "floor", Floor, *value_at("floor"),
                          ("area", "perimeter", "edge_r_value", "edge_depth")),
            *list_entries(draft, "floor.layers", "layer of the floor, from the top", Layer, rows_at("floor.layers"),
                          lambda draft, n: Layer("gravel", 0.1)),
        ),
        "Night curtain": (
            _curtain(),
            *(part_entries("curtain", "curtain", Curtain, *value_at("curtain")) if draft.house.curtain else ()),
        ),
        "Barrels and heater": (*_barrels(), _heater(), _fuel(), *_heater_more(draft)),
        **{f"Store: {store.name}": _store_entries(i, store) for i, store in stores},
        "More stores": (_add_store("bed", "Add: bed of soil or stone"), _add_store("barrels", "Add: more barrels")),
        "Buried pipes": single_entries(draft, "pipes", "buried pipes", Pipes, lambda house: Pipes(6.0, 0.05, 4),
                                       "air drawn through the soil by a fan"),
        "Vents and shade": (
            *single_entries(draft, "vents", "vents", Vents, lambda house: Vents(), "open when it is hot"),
            *single_entries(draft, "shade", "shade cloth", Shade, lambda house: Shade(), "or lime wash in summer"),
        ),
        "Trees, horizon and snow": (
            *list_entries(draft, "trees", "tree", Tree, rows_at("trees"),
                          lambda draft, n: Tree(_unused("tree", draft.house.trees), 180.0, 10.0, 8.0, 5.0)),
            *list_entries(draft, "horizon", "direction in which the horizon is high", Sighting, rows_at("horizon"),
                          lambda draft, n: Sighting(_free_direction(draft.house), 5.0)),
            *single_entries(draft, "snow_cover", "snow that stays on roofs", SnowCover, lambda house: SnowCover()),
        ),
        "An ordinary winter": (
            _condition("winter_night", "nights of the coldest month"),
            _condition("winter_day", "days of the coldest month"),
            _condition("year_mean", "mean of the whole year"),
            Entry("conditions.year_file", "file with the hours of a year, if you have one", "text",
                  lambda d: d.conditions.year_file,
                  lambda d, v: replace(d, conditions=d.conditions.changed(year_file=v or "")), optional=True,
                  hint="TMY3 or EPW, beside this lesson; without one the winter is made up from the numbers above"),
        ),
        "Prices (invented until you put in yours)": (
            _condition("currency", "word for the money", quantity=""),
            *(_fuel_price(fuel, money) for fuel in FUELS),
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
    }  # fmt: skip


def _fuel():
    def put(draft, fuel):
        house = draft.house.changed("heater.fuel", fuel) if draft.house.heater else draft.house
        return replace(draft, house=house, conditions=draft.conditions.changed(fuel=fuel))

    options = tuple((fuel, fuel.replace("_", " ")) for fuel in FUELS)
    return Entry("fuel", "what the heater runs on", "choice", lambda d: fuel_of(d.house, d.conditions), put,
                 options=options, hint="a flame needs a flue and air of its own")  # fmt: skip


def fuel_of(house, conditions):
    """Return what the heater runs on: as the heater in the house says, else as the reader chose [name]."""
    return house.heater.fuel if house.heater and house.heater.fuel in FUELS else conditions.fuel


def _heater_more(draft):
    known = ("power", "fuel")
    return part_entries("heater", "heater", Heater, *value_at("heater"), known) if draft.house.heater else ()


def _fuel_price(fuel, money):
    unit = entry("fuels", fuel, "price").unit
    per = {"per kWh": "", "per m³": "room_volume", "per L": "store_volume", "per kg": "mass"}[unit]
    row = _price(fuel, fuel.replace("_", " "), money if per else f"{money} per kWh", per)
    if unit != "per L":
        return row
    # the table has it by the litre, the unit of length cubed is the metre's
    return replace(row, get=lambda d: 1000 * d.conditions.prices[fuel], put=lambda d, v: row.put(d, v / 1000))


def _store_entries(index, store):
    def get(draft):
        return draft.house.stores[index]

    def put(draft, *new):
        rows = draft.house.stores
        return replace(draft, house=draft.house.changed("stores", (*rows[:index], *new, *rows[index + 1 :])))

    label = store.name
    return (*part_entries(f"store.{index}", label, Store, get, put, ("kind",)),
            without(f"store.{index}.remove", label, put))  # fmt: skip


def _add_store(kind, label):
    def put(draft, _):
        name = _unused("bed" if kind == "bed" else "barrels", draft.house.stores)
        new = Store(name, "bed", 1.0, "soil_moist", surface=3.0) if kind == "bed" else Store(name, "barrels", DRUM)
        return replace(draft, house=draft.house.changed("stores", (*draft.house.stores, new)))

    return Entry(f"store.add.{kind}", label, "button", lambda d: False, put)


def _unused(word, items):
    names = {item.name for item in items}
    return next(name for n in range(1, len(names) + 2) if (name := word if n == 1 else f"{word} {n}") not in names)


def _free_direction(house):
    used = {sighting.facing % 360 for sighting in house.horizon}
    return next(float(degrees) for degrees in range(0, 360) if degrees not in used)
