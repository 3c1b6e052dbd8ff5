"""One greenhouse as frozen dataclasses: what stands there, in SI units.

A house is never changed in place: :meth:`Greenhouse.changed` returns a new one. Each field carries its quantity and
its allowed range, and that one statement serves the check here, the house file and its error messages alike.
"""

# ruff: noqa: RUF009 -- the helpers below return plain dataclass fields
from dataclasses import dataclass, field, fields, is_dataclass, replace
from functools import lru_cache
from typing import Any
from unicodedata import category

from heatlib._check import ELEVATION, choice, number, shortened, single
from heatlib.ground import soil_diffusivity
from heatlib.moist_air import pressure_at
from heatlib.pipes import pipe_flow
from heatlib.tables import entry, keys

__all__ = [
    "Air",
    "Curtain",
    "Floor",
    "Greenhouse",
    "Heater",
    "Layer",
    "Limits",
    "Pipes",
    "Place",
    "Plants",
    "Shade",
    "Sighting",
    "SnowCover",
    "Store",
    "Surface",
    "Tree",
    "Vents",
]

FORMAT = 2
"""Version of the house file this library writes."""

LEAKAGE = ("air_change_rate", "tightness")
"""The two ways to say how leaky a house is."""

USUAL_LEAKAGE = 1.0
"""Air changes per hour where nothing is said, near a new house of glass or sheets."""

MOST_LEAVES = 10
"""No crop has more square metres of leaves on one of floor; the densest have some 8; common practice, no source."""

COMPASS = {
    "north": 0.0,
    "north-east": 45.0,
    "east": 90.0,
    "south-east": 135.0,
    "south": 180.0,
    "south-west": 225.0,
    "west": 270.0,
    "north-west": 315.0,
}


def _number(quantity, unit, low, high, default=..., *, above=None):
    """Field for a number; ``quantity`` is a name :func:`heatlib.units.parse_quantity` knows, or "" for none."""
    metadata = {"kind": "number", "quantity": quantity, "unit": unit, "low": low, "high": high, "above": above}
    return field(metadata=metadata) if default is ... else field(default=default, metadata=metadata)


def _name(allowed, default=...):
    """Field for a name out of a list: a tuple, or the name of a table of :mod:`heatlib.tables`."""
    metadata = {"kind": "name", "allowed": allowed}
    return field(metadata=metadata) if default is ... else field(default=default, metadata=metadata)


def _yes(default):
    return field(default=default, metadata={"kind": "yes"})


def _text(default=..., *, lines=False):
    metadata = {"kind": "text", "lines": lines}
    return field(metadata=metadata) if default is ... else field(default=default, metadata=metadata)


def _parts(cls):
    return field(default=(), metadata={"kind": "parts", "class": cls})


def _part(cls, default=...):
    metadata = {"kind": "part", "class": cls}
    return field(metadata=metadata) if default is ... else field(default=default, metadata=metadata)


def allowed_names(spec):
    """Return the names a name field accepts, looking a table up where it is one [text]."""
    return keys(spec) if isinstance(spec, str) else spec


def class_rate(tightness):
    """Return the leakage of a class of tightness [air changes per hour]."""
    return float(entry("tightness", tightness, "air_change_rate").value)


@lru_cache(maxsize=256)
def through_pipes(p, elevation, soil_resistance=0.0):
    """The pipes' own numbers at a typical warm afternoon; the number of transfer units hardly depends on it."""
    return pipe_flow(
        25.0, 15.0, p.flow, p.length, p.diameter, count=p.count, corrugated=p.corrugated,
        pressure=float(pressure_at(elevation)), soil_resistance=soil_resistance,
    )  # fmt: skip


class _Checked:
    """Check every field against its own statement of range as soon as a part is made."""

    def __post_init__(self):
        for item in fields(self):
            value = getattr(self, item.name)
            if value is None and item.default is None:
                continue
            object.__setattr__(self, item.name, checked(f"{self._label} {item.name}", value, item.metadata))

    @property
    def _label(self):
        own = getattr(self, "name", None)
        word = type(self).__name__.lower()
        return f"{word} {shortened(own)}," if own and isinstance(own, str) else word


def checked(label, value, rule):
    """Return a value fit for a field whose metadata is ``rule``, or say what is wrong with it."""
    kind = rule["kind"]
    label = label.replace("_", " ")
    if kind == "number":
        return single(label, value, rule["unit"], rule["low"], rule["high"], above=rule["above"])
    if kind == "name":
        return choice(label, value, allowed_names(rule["allowed"]))
    if kind == "yes" and not isinstance(value, bool):
        raise ValueError(f"{label} must be true or false, but it is {shortened(value)}")
    if kind == "text" and not isinstance(value, str):
        raise ValueError(f"{label} must be a text in quotes, but it is {shortened(value)}")
    if kind == "text":
        return _text_fit_to_print(label, value, rule["lines"])
    if kind == "parts":
        if not isinstance(value, list | tuple):
            raise ValueError(f"{label} must be a list of parts, but it is {shortened(value)}")
        return tuple(_instance(label, item, rule["class"]) for item in value)
    return _instance(label, value, rule["class"]) if kind == "part" else value


def _instance(label, value, cls):
    if not isinstance(value, cls):
        raise ValueError(f"{label} must be a {cls.__name__}, but it is {shortened(value)}")
    return value


def _text_fit_to_print(label, text, lines):
    """Return a text that pictures, tables and printed pages can show; ``lines`` allows several lines."""
    longest = 20_000 if lines else 200
    if len(text) > longest:
        raise ValueError(f"{label} must have at most {longest} letters, but it has {len(text)}")
    for letter in text:
        if (category(letter) in ("Cc", "Cs", "Cn", "Zl", "Zp")) and not (lines and letter in "\n\r\t"):
            wanted = "letters that can be printed" if lines else "one line of letters that can be printed"
            raise ValueError(f"{label} must be {wanted}, but it has the character U+{ord(letter):04X} in it")
    return text


@dataclass(frozen=True)
class Place(_Checked):
    """Where the house stands, and the ground it stands on.

    ``ground`` and ``snow`` say what throws light up in front of the panes, without and with snow; ``ground_mean`` and
    ``ground_swing`` are those of the soil's surface over the year.
    """

    latitude: float = _number("", "°", -66, 66)
    longitude: float = _number("", "°", -180, 180, 0.0)
    elevation: float = _number("length", "m", *ELEVATION, 0.0)
    utc_offset: float | None = _number("", "h", -12, 14, None)
    ground_mean: float = _number("temperature", "°C", -10, 30, 7.0)
    ground_swing: float = _number("temperature_difference", "K", 0, 30, 12.0)
    coldest_day: float = _number("", "day of year", 1, 366, 35.0)
    ground: str = _name(
        ("grass", "grass_dry", "soil_dark_wet", "soil_light_dry", "gravel_grey", "white_stones"), "grass"
    )
    snow: str = _name(("snow_fresh", "snow_old", "snow_dirty"), "snow_old")


@dataclass(frozen=True)
class Layer(_Checked):
    """One layer of a wall, roof or floor, from the inside outward."""

    material: str = _name("materials")
    thickness: float = _number("length", "m", 0, 3, above=0)


@dataclass(frozen=True)
class Surface(_Checked):
    """One piece of the skin: a pane of ``glazing``, or ``layers``, or a given ``u_value`` or ``r_value``.

    ``tilt`` is 0 for a level roof and 90 for a wall; ``frame`` is the share of a glazed area that bars and frames take
    from the sun; ``framing`` the share of a wall that is studs.
    """

    name: str = _text()
    area: float = _number("area", "m²", 0, 5000, above=0)
    facing: float = _number("compass", "°", 0, 360, 180.0)
    tilt: float = _number("", "°", 0, 90, 90.0)
    glazing: str | None = _name("glazings", None)
    layers: tuple[Layer, ...] = _parts(Layer)
    u_value: float | None = _number("u_value", "W/m²K", 0, 20, None, above=0)
    r_value: float | None = _number("r_value", "m²K/W", 0, 30, None, above=0)
    framing: float = _number("", "", 0, 0.9, 0.0)
    framing_material: str = _name("materials", "softwood")
    frame: float = _number("", "", 0, 0.9, 0.1)
    dirt: float = _number("", "", 0, 0.9, 0.05)
    curtain: bool = _yes(False)
    absorptance: float = _number("", "", 0, 1, 0.6)

    def __post_init__(self):
        super().__post_init__()
        given = [k for k in ("glazing", "layers", "u_value", "r_value") if getattr(self, k)]
        if len(given) != 1:
            found = " and ".join(given) or "none"
            raise ValueError(
                f"surface {self.name!r} needs exactly one of glazing, layers, u_value, r_value: found {found}"
            )


@dataclass(frozen=True)
class Air(_Checked):
    """Leakage [air changes per hour], door and humidity of the inside air.

    Leakage is a rate, or the name of a class of ``tightness`` whose rate then stands in ``air_change_rate``; a rate of
    its own that differs from the class's is refused. ``wind_dependent`` scales the leakage with wind: the stated rate
    then holds at 4 m/s and 10 K. Warm air's lift is that of a house at 10 °C: at 20 °C on a calm night of −24 °C it
    leaks √(44/34), 14 % more. ``contents`` is the heat plants, benches and inner skins hold with the air.
    """

    air_change_rate: float | None = _number("", "per hour", 0, 30, None)
    tightness: str | None = _name("tightness", None)
    wind_dependent: bool = _yes(False)
    door_openings: float = _number("", "per hour", 0, 200, 0.0)
    door_seconds: float = _number("time", "s", 0, 3600, 10.0)
    door_width: float = _number("length", "m", 0, 10, 0.8, above=0)
    door_height: float = _number("length", "m", 0, 10, 1.9, above=0)
    lobby: bool = _yes(False)
    lobby_volume: float = _number("volume", "m³", 0, 1000, 4.0, above=0)
    relative_humidity: float = _number("", "", 0, 1, 0.8)
    contents: float = _number("", "J/m²K of floor", 0, 200e3, 10e3)

    def __post_init__(self):
        super().__post_init__()
        open_seconds = self.door_openings * self.door_seconds
        if open_seconds > 3600:
            raise ValueError(
                f"air door openings times door seconds must be at most 3600 s in an hour, but it is {open_seconds:g} s"
            )
        rate = USUAL_LEAKAGE if self.tightness is None else class_rate(self.tightness)
        if self.air_change_rate is None:
            object.__setattr__(self, "air_change_rate", rate)
        elif self.tightness is not None and self.air_change_rate != rate:
            raise ValueError(
                f"air takes either tightness or air change rate, not both: {self.tightness!r} means {rate:g} per hour, "
                f"but the rate is {self.air_change_rate:g}"
            )


@dataclass(frozen=True)
class Plants(_Checked):
    """What gives off water vapour: leaves and wet soil of ``area``; ``wetness`` 1 is a soaked bed, 0 a dry one.

    Without such an area the course follows no humidity, and the air keeps its stated one.
    """

    area: float = _number("area", "m²", 0, 5000, 0.0)
    wetness: float = _number("", "", 0, 1, 0.5)
    resistance_day: float = _number("", "s/m", 0, 10000, 100.0)
    resistance_night: float = _number("", "s/m", 0, 10000, 500.0)


@dataclass(frozen=True)
class Floor(_Checked):
    """The ground inside: build-up from the top, soil below it, and the edge."""

    area: float = _number("area", "m²", 0, 5000, above=0)
    perimeter: float = _number("length", "m", 0, 1000, above=0)
    layers: tuple[Layer, ...] = _parts(Layer)
    soil: str = _name("materials", "soil_moist")
    depth: float = _number("length", "m", 0.2, 5, 1.2)
    edge_r_value: float = _number("r_value", "m²K/W", 0, 20, 0.0)
    edge_depth: float = _number("length", "m", 0, 3, 0.0)
    edge_position: str = _name(("vertical", "horizontal"), "vertical")
    absorptance: float = _number("", "", 0, 1, 0.75)

    def __post_init__(self):
        super().__post_init__()
        if not 1e-8 <= soil_diffusivity(self.soil) <= 1e-5:
            raise ValueError(f"floor soil must be what ground is made of, such as soil_moist, but it is {self.soil!r}")


@dataclass(frozen=True)
class Store(_Checked):
    """Heat held on purpose: ``barrels`` of water, or a ``bed`` of stone or soil in layers.

    ``volume`` is that of one piece; ``surface`` the area of one piece that meets the air, worked out from ``diameter``,
    ``height`` and ``pose`` for barrels where it is not given; ``gap`` is the clear distance between barrels in a row
    (left out: they stand apart). ``sun_share`` is the part of the sun that comes in and strikes it.
    """

    name: str = _text()
    kind: str = _name(("barrels", "bed"))
    volume: float = _number("volume", "m³", 0, 200, above=0)
    material: str = _name("materials", "water")
    count: int = _number("", "", 0, 1000, 1)
    surface: float | None = _number("area", "m²", 0, 2000, None, above=0)
    diameter: float = _number("length", "m", 0, 5, 0.572, above=0)
    height: float = _number("length", "m", 0, 5, 0.851, above=0)
    pose: str = _name(("standing", "lying"), "standing")
    gap: float | None = _number("length", "m", 0, 100, None)
    emissivity: float = _number("", "", 0, 1, 0.9)
    layers: int = _number("", "", 1, 8, 1)
    sun_share: float = _number("", "", 0, 1, 0.0)
    absorptance: float = _number("", "", 0, 1, 0.9)

    def __post_init__(self):
        super().__post_init__()
        if self.kind == "bed" and self.surface is None:
            raise ValueError(f"store {self.name!r} is a bed and needs its surface, the area that meets the air")
        for word in ("count", "layers"):
            if getattr(self, word) != int(getattr(self, word)):
                raise ValueError(
                    f"store {self.name!r}, {word} must be a whole number, but it is {getattr(self, word):g}"
                )
            object.__setattr__(self, word, int(getattr(self, word)))


@dataclass(frozen=True)
class Pipes(_Checked):
    """Air drawn through pipes in the ground by a fan that runs above one air temperature and below another."""

    length: float = _number("length", "m", 0, 500, above=0)
    flow: float = _number("air_flow", "m³/s", 0, 20, above=0)
    count: float = _number("", "", 0, 200, 1.0)
    diameter: float = _number("length", "m", 0, 1, 0.1, above=0)
    depth: float = _number("length", "m", 0, 5, 0.6, above=0)
    spacing: float = _number("length", "m", 0, 5, 0.4, above=0)
    fan_power: float | None = _number("heat_flow", "W", 0, 20e3, None)
    corrugated: bool = _yes(True)
    on_above: float = _number("temperature", "°C", -20, 60, 24.0)
    on_below: float | None = _number("temperature", "°C", -20, 60, None)
    hysteresis: float = _number("temperature_difference", "K", 0, 10, 1.0)


@dataclass(frozen=True)
class Heater(_Checked):
    """A heater of limited power: full power at ``setpoint`` and colder, off at ``setpoint + band`` and warmer.

    ``place`` is ``"air"``, or the name of the store whose water it heats and whose temperature it feels.
    """

    power: float = _number("heat_flow", "W", 0, 1e6)
    setpoint: float = _number("temperature", "°C", -20, 40, 2.0)
    band: float = _number("temperature_difference", "K", 0.001, 10, 0.5)
    place: str = _text("air")
    fuel: str = _name("fuels", "electricity")


@dataclass(frozen=True)
class Curtain(_Checked):
    """A night curtain under the panes marked ``curtain = true``, drawn by the clock or by the sun.

    By the sun it opens when level ground outside gets ``sun_limit``. In a hard frost a curtain saves some 40 to 50 W
    a square metre of pane: less sun than that is not worth opening for. ``light`` is the share of the sun that comes
    through while it is drawn: 0 for a quilt or foil.
    """

    r_value: float = _number("r_value", "m²K/W", 0, 5, 0.35)
    edge_leak: float = _number("", "", 0, 1, 0.15)
    light: float = _number("", "", 0, 1, 0.0)
    rule: str = _name(("sun", "clock"), "sun")
    closes: float = _number("clock", "h", 0, 24, 17.0)
    opens: float = _number("clock", "h", 0, 24, 8.0)
    sun_limit: float = _number("", "W/m²", 0, 500, 50.0)


@dataclass(frozen=True)
class Vents(_Checked):
    """Vents or an open door: closed up to ``opens_at``, fully open ``band`` above it."""

    opens_at: float = _number("temperature", "°C", -20, 60, 25.0)
    band: float = _number("temperature_difference", "K", 0.001, 20, 3.0)
    air_change_rate: float = _number("", "per hour", 0, 300, 20.0)


@dataclass(frozen=True)
class Shade(_Checked):
    """Cloth or lime wash over the panes from one day of the year to another; ``factor`` is what it keeps out.

    Cloth may be drawn for some hours only, such as the afternoon: ``from_hour`` 12 to ``to_hour`` 18.
    """

    factor: float = _number("", "", 0, 1, 0.5)
    first_day: float = _number("", "day of year", 1, 366, 136.0)
    last_day: float = _number("", "day of year", 1, 366, 258.0)
    from_hour: float = _number("clock", "h", 0, 24, 0.0)
    to_hour: float = _number("clock", "h", 0, 24, 24.0)


@dataclass(frozen=True)
class Tree(_Checked):
    """A tree as a box with a see-through crown; heights count from the middle of the panes."""

    name: str = _text()
    facing: float = _number("compass", "°", 0, 360)
    distance: float = _number("length", "m", 0, 1000, above=0)
    height: float = _number("length", "m", 0, 150, above=0)
    crown_width: float = _number("length", "m", 0, 100, above=0)
    crown_base: float = _number("length", "m", 0, 150, 0.0)
    evergreen: bool = _yes(False)

    def __post_init__(self):
        super().__post_init__()
        number(f"tree {self.name!r}, height", self.height, "m", 0, 150, above=self.crown_base)


@dataclass(frozen=True)
class Sighting(_Checked):
    """How high the horizon stands in one direction, seen from the middle of the panes; between sightings straight."""

    facing: float = _number("compass", "°", 0, 360)
    height: float = _number("", "°", 0, 90)


@dataclass(frozen=True)
class SnowCover(_Checked):
    """Snow that is left on roofs and panes flatter than ``slides_from`` while snow lies on the ground."""

    depth: float = _number("length", "m", 0, 2, 0.1)
    kind: str = _name(("snow_fresh", "snow_soft", "snow_settled", "snow_compacted"), "snow_fresh")
    slides_from: float = _number("", "°", 0, 90, 45.0)


@dataclass(frozen=True)
class Limits(_Checked):
    """What the crop stands: the coldest night and the hottest day."""

    crop: str = _text("leafy greens")
    minimum: float = _number("temperature", "°C", -20, 30, 2.0)
    maximum: float = _number("temperature", "°C", 10, 60, 35.0)


@dataclass(frozen=True)
class Greenhouse(_Checked):
    """One whole greenhouse."""

    name: str = _text()
    volume: float = _number("volume", "m³", 0, 50e3, above=0)
    place: Place = _part(Place)
    floor: Floor = _part(Floor)
    surfaces: tuple[Surface, ...] = _parts(Surface)
    air: Air = _part(Air, Air())
    plants: Plants = _part(Plants, Plants())
    stores: tuple[Store, ...] = _parts(Store)
    pipes: Pipes | None = _part(Pipes, None)
    heater: Heater | None = _part(Heater, None)
    curtain: Curtain | None = _part(Curtain, None)
    vents: Vents | None = _part(Vents, None)
    shade: Shade | None = _part(Shade, None)
    trees: tuple[Tree, ...] = _parts(Tree)
    horizon: tuple[Sighting, ...] = _parts(Sighting)
    snow_cover: SnowCover | None = _part(SnowCover, None)
    limits: Limits = _part(Limits, Limits())
    note: str = _text("", lines=True)

    def __post_init__(self):
        super().__post_init__()
        if not self.surfaces:
            raise ValueError("the house needs at least one surface")
        if self.plants.area > MOST_LEAVES * self.floor.area:
            raise ValueError(
                f"plants area must be at most {MOST_LEAVES} times the floor of {self.floor.area:g} m², but it is "
                f"{self.plants.area:g} m²"
            )
        for group in ("surfaces", "stores", "trees"):
            names = [item.name for item in getattr(self, group)]
            twice = sorted({n for n in names if names.count(n) > 1})
            if twice:
                raise ValueError(f"two {group} have the name {twice[0]!r}; each needs its own")
            dotted = [n for n in names if "." in n or not n.strip()]
            if dotted:
                raise ValueError(f"a name in {group} must be some text without a full stop, but it is {dotted[0]!r}")
        looked = [sighting.facing % 360 for sighting in self.horizon]
        if len(set(looked)) < len(looked):
            raise ValueError("two sightings of the horizon have the same direction (0 and 360 are the same)")
        shares = sum(store.sun_share for store in self.stores if store.count)
        number("sum of the stores' sun_share", shares, "", 0, 1 + 1e-9)
        if self.heater:
            choice("heater place", self.heater.place, ("air", *(s.name for s in self.stores)))
            self._heater_below_vents(self.heater, self.vents)
        if self.pipes and self.pipes.count:
            _air_goes_through(self.pipes, self.place.elevation)

    def _heater_below_vents(self, heater, vents):
        ends = heater.setpoint + heater.band
        if vents and heater.place == "air" and ends > vents.opens_at:
            raise ValueError(
                f"the heater runs up to {ends:g} °C but the vents open at {vents.opens_at:g} °C: they would work "
                "against each other"
            )

    def store(self, name):
        """Return one store by its name."""
        return self.stores[_index("store", name, self.stores)]

    def surface(self, name):
        """Return one surface by its name."""
        return self.surfaces[_index("surface", name, self.surfaces)]

    def changed(self, path=None, value: Any = None, **changes):
        """Return a new house with values changed by dotted path: ``changed("heater.power", 1500.0)``.

        A store or surface goes by its name (``"stores.drums.count"``) or number (``"stores.0.count"``). Several changes
        at once: ``changed(**{"heater.power": 1500.0, "stores.drums.count": 12})``, made in that order and checked when
        all are made: what would not fit halfway does no harm. ``None`` takes a part away (``changed("heater", None)``,
        ``changed("stores.drums", None)``); a whole part may be given too.
        """
        if path is not None:
            changes = {path: value, **changes}
        for dotted in changes:
            if not isinstance(dotted, str):
                raise ValueError(
                    f"what to change must be a dotted path such as 'heater.power', not {shortened(dotted)}"
                )
        return _changed(self, [(dotted.split("."), new, dotted) for dotted, new in changes.items()])


def _air_goes_through(pipes, elevation):
    """Refuse pipes through which no fan presses that much air, before anything is run."""
    try:
        through_pipes(pipes, elevation)
    except ValueError as error:
        raise ValueError(f"pipes: {error}") from None


def checked_house(value):
    """Return a house, or say that it is none."""
    if not isinstance(value, Greenhouse):
        raise ValueError(f"house must be a Greenhouse, such as read_house gives, but it is {shortened(value)}")
    return value


def _index(word, name, items):
    names = [getattr(item, "name", str(n)) for n, item in enumerate(items)]
    if isinstance(name, str) and name.isdigit() and name not in names and int(name) < len(items):
        return int(name)
    return names.index(choice(word, name, names))


def _changed(part, changes):
    """Make all changes of a part, each ``(steps, value, dotted path)``, and build it anew once."""
    if isinstance(part, tuple):
        return _changed_list(part, changes)
    if not is_dataclass(part):
        raise ValueError(f"{shortened(changes[0][2])} leads to a part this house does not have")
    names, new = [item.name for item in fields(part)], {}
    for first, run in _runs(changes, lambda steps: choice(f"part of {type(part).__name__.lower()}", steps[0], names)):
        if isinstance(part, Air) and first in LEAKAGE:
            new |= dict.fromkeys(LEAKAGE)  # one way of saying how leaky it is takes the place of the other
        new[first] = _inside(new.get(first, getattr(part, first)), run)
    return replace(part, **new)


def _changed_list(parts, changes):
    """Make changes of a list's entries in order: those of one entry together, until one goes, comes or is renamed."""
    while changes:
        moves = (n for n, (steps, _, _) in enumerate(changes) if len(steps) == 1 or steps[1:] == ["name"])
        end = max(next(moves, len(changes)), 1)
        for position, run in _runs(changes[:end], lambda steps, now=parts: _index("part", steps[0], now)):
            new = _inside(parts[position], run)
            parts = parts[:position] + (() if new is None else (new,)) + parts[position + 1 :]
        changes = changes[end:]
    return parts


def _runs(changes, key):
    """Changes by where they lead, in order of the first to each; each without its first step."""
    runs = {}
    for steps, value, dotted in changes:
        runs.setdefault(key(steps), []).append((steps[1:], value, dotted))
    return runs.items()


def _inside(old, run):
    """What stands in one place after the changes that lead there: new as a whole, or changed within."""
    whole = max((n for n, (steps, _, _) in enumerate(run) if not steps), default=-1)
    if whole >= 0:
        old, run = run[whole][1], run[whole + 1 :]
    return _changed(old, run) if run else old
