"""The parts of a house that come and go in the own-house form: surfaces, stores, pipes, vents, shade, trees and more.

Each field of :mod:`heatlib.house.greenhouse` states its own kind and range, so the entries are made from these
statements: what the house file can say, the form can say too.
"""

from dataclasses import fields, replace

from heatlib.classroom.own_entry import Entry
from heatlib.house import greenhouse as g
from heatlib.tables import keys

__all__ = ["WORDS", "list_entries", "part_entries", "rows_at", "single_entries", "value_at", "without"]

WORDS = {
    "absorptance": ("share of the sun that its colour takes up", "share"),
    "air_change_rate": ("air changes when fully open", ""),
    "area": ("area", "area"),
    "band": ("fully open or full power so much warmer or colder", "temperature_difference"),
    "closes": ("closes at (rule by the clock)", ""),
    "corrugated": ("corrugated pipe", ""),
    "count": ("how many", "count"),
    "crown_base": ("height of the crown's lower edge", "length"),
    "crown_width": ("width of the crown", "length"),
    "curtain": ("night curtain", ""),
    "depth": ("depth", "length"),
    "diameter": ("diameter", "length"),
    "dirt": ("share of the sun that dirt takes", "share"),
    "distance": ("distance from the panes", "length"),
    "edge_leak": ("share of the curtain's gain that gaps take", "share"),
    "emissivity": ("emissivity of its skin", ""),
    "evergreen": ("green in winter too", ""),
    "facing": ("direction, degrees from north", "angle"),
    "factor": ("share of the sun that it keeps out", "share"),
    "fan_power": ("power of the fan, empty: worked out", "electric_power"),
    "first_day": ("from day of the year", ""),
    "flow": ("air that the fan moves", "air_flow"),
    "frame": ("share that bars and frames take", "share"),
    "framing": ("share of the wall that is studs", "share"),
    "framing_material": ("studs of", ""),
    "from_hour": ("from hour", ""),
    "fuel": ("fuel of the heater", ""),
    "gap": ("clear gap between barrels, empty: they stand apart", "length"),
    "height": ("height", "length"),
    "hysteresis": ("fan stays on until so much past that", "temperature_difference"),
    "kind": ("kind", ""),
    "last_day": ("to day of the year", ""),
    "layers": ("layers in the reckoning", ""),
    "length": ("length of one", "length"),
    "light": ("share of the sun that comes through while drawn", "share"),
    "material": ("material", ""),
    "name": ("name", ""),
    "on_above": ("fan runs above, empty: never for heat", "temperature"),
    "on_below": ("fan runs below, empty: never for cold", "temperature"),
    "opens": ("opens at (rule by the clock)", ""),
    "opens_at": ("begin to open at", "temperature"),
    "place": ("stands in: air, or the name of a store", ""),
    "pose": ("pose", ""),
    "power": ("power", "electric_power"),
    "r_value": ("R-value", "r_value"),
    "rule": ("drawn by", ""),
    "setpoint": ("thermostat", "temperature"),
    "slides_from": ("slides off panes steeper than", "angle"),
    "spacing": ("distance from pipe to pipe", "length"),
    "sun_limit": ("opens when the sun passes", ""),
    "sun_share": ("share of the sun that strikes it", "share"),
    "surface": ("skin of one that meets the air, empty: worked out", "area"),
    "thickness": ("thickness", "thickness"),
    "tilt": ("tilt, 0 flat, 90 upright", "angle"),
    "to_hour": ("to hour", ""),
    "volume": ("volume of one", "store_volume"),
}
"""What the form calls a field, and its quantity on the page; without one, the field's own unit."""


def part_entries(stem, label, cls, get, put, left_out=()):
    """Make an entry for each field of a part.

    Parameters
    ----------
    stem : str
        First part of the entries' names, such as ``"pipes"`` [text].
    label : str
        What the reader calls the part [text].
    cls : type
        Its class in :mod:`heatlib.house.greenhouse` [–].
    get, put : callable
        ``get(draft)`` returns the part; ``put(draft, part)`` a draft with another one [–].
    left_out : tuple of str
        Fields that have entries elsewhere [text].

    Returns
    -------
    list of Entry
        One for each field of one value [–].
    """
    return [
        _field_entry(stem, label, item, get, put)
        for item in fields(cls)
        if item.name not in left_out and item.metadata["kind"] not in ("part", "parts")
    ]


def _field_entry(stem, label, item, get, put):
    rule, (words, quantity) = item.metadata, WORDS.get(item.name, (item.name.replace("_", " "), ""))
    optional = item.default is None

    def read(draft):
        value = getattr(get(draft), item.name)
        return "" if value is None and rule["kind"] != "number" else value

    def write(draft, value):
        return put(draft, replace(get(draft), **{item.name: value}))

    shared = {"name": f"{stem}.{item.name}", "label": f"{label}: {words}", "get": read, "put": write}
    if rule["kind"] == "number":
        low = rule["low"] if rule["above"] is None else max(rule["low"], rule["above"] + 1e-4)
        unit = "" if quantity else rule["unit"]
        return Entry(
            kind="number", quantity=quantity, unit=unit, low=low, high=rule["high"], optional=optional, **shared
        )
    if rule["kind"] == "name":
        options = tuple((key, key.replace("_", " ")) for key in g.allowed_names(rule["allowed"]))
        return Entry(kind="choice", options=options, **shared)
    if item.name == "fuel":
        return Entry(kind="choice", options=tuple((key, key.replace("_", " ")) for key in keys("fuels")), **shared)
    return Entry(kind="toggle" if rule["kind"] == "yes" else "text", **shared)


def single_entries(draft, path, label, cls, first, hint="", left_out=()):
    """Make a yes-or-no entry for a part that a house has or has not, and where it has one, its fields.

    Parameters
    ----------
    draft : Draft
        What the form edits [–].
    path : str
        Field of the house, such as ``"pipes"`` [text].
    label : str
        What the reader calls it [text].
    cls : type
        Its class [–].
    first : callable
        ``first(house)`` returns the part as it begins [–].
    hint : str
        Words under the entry [text].
    left_out : tuple of str
        Fields with entries elsewhere [text].

    Returns
    -------
    list of Entry
        The yes or no, then the fields [–].
    """

    def change(draft, part):
        return replace(draft, house=draft.house.changed(path, part))

    def there(draft):
        return getattr(draft.house, path) is not None

    def toggle(draft, wanted):
        return change(draft, (getattr(draft.house, path) or first(draft.house)) if wanted else None)

    found = [Entry(path, label, "toggle", there, toggle, hint=hint)]
    if there(draft):
        found += part_entries(path, label, cls, lambda d: getattr(d.house, path), change, left_out)
    return found


def value_at(path):
    """Return how to get and to put a value of the house by dotted path, such as ``"air.door_openings"``."""

    def get(draft):
        part = draft.house
        for step in path.split("."):
            part = getattr(part, step)
        return part

    return get, lambda draft, value: replace(draft, house=draft.house.changed(path, value))


def rows_at(path):
    """Return how to get and to put a list of the house, such as ``"trees"`` or ``"floor.layers"``."""
    get, put = value_at(path)
    return get, lambda draft, rows: put(draft, tuple(rows))


def list_entries(draft, stem, word, cls, place, first, left_out=()):
    """Make the entries of each part of a list, with a button to take it away, and one button to add another.

    Parameters
    ----------
    draft : Draft
        What the form edits [–].
    stem : str
        First part of the entries' names [text].
    word : str
        What one of them is called [text].
    cls : type
        Class of one [–].
    place : tuple of callable
        How to get and to put the list, as :func:`rows_at` returns it [–].
    first : callable
        ``first(draft, number)`` returns one more, as it begins [–].
    left_out : tuple of str
        Fields with entries elsewhere [text].

    Returns
    -------
    list of Entry
        Those of every part, then the button [–].
    """
    get, put = place
    found = []
    for index, item in enumerate(get(draft)):
        label = getattr(item, "name", f"{word} {index + 1}")
        found += _one_of(stem, index, label, cls, place, left_out)

    def add(draft, _):
        return put(draft, (*get(draft), first(draft, len(get(draft)) + 1)))

    return [*found, Entry(f"{stem}.add", f"Add: {word}", "button", lambda d: False, add)]


def _one_of(stem, index, label, cls, place, left_out=()):
    get, put = place

    def change(draft, *items):
        rows = get(draft)
        return put(draft, (*rows[:index], *items, *rows[index + 1 :]))

    found = part_entries(f"{stem}.{index}", label, cls, lambda draft: get(draft)[index], change, left_out)
    return [*found, without(f"{stem}.{index}.remove", label, change)]


def without(name, label, change):
    """Return a button that takes a part away: ``change(draft)`` is the draft without it."""
    return Entry(name, f"Remove: {label}", "button", lambda d: False, lambda d, _: change(d))
