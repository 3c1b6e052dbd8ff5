"""Views of lesson 10: the whole balance of one night, drums against heater, and other heat with its price."""

import math
import threading
import time as clock
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from heatlib.classroom import charts
from heatlib.classroom.charts import Axis, Line
from heatlib.classroom.controls import stated
from heatlib.classroom.cutaway import cutaway, cutaway_words
from heatlib.classroom.house_hours import flows_of_hour
from heatlib.classroom.house_section import flows_of_bill, section_of, stores_of
from heatlib.classroom.picture import Picture
from heatlib.classroom.view import Choice, Slider, Toggle, view
from heatlib.conduction import layer_resistance, surface_resistance
from heatlib.house import fabric
from heatlib.house.balance import prepare, run
from heatlib.house.bill import loss_bill
from heatlib.house.demo import DESIGN_NIGHT, demo_house
from heatlib.house.greenhouse import Heater
from heatlib.house.season import fuel_use
from heatlib.house.weather import design_night, sunless_days
from heatlib.other_heat import cable_bed, compost_heat, compost_radiator, electric_heat
from heatlib.tables import entry
from heatlib.units import format_quantity, to_display, unit_of

__all__ = [
    "choices", "count", "drum_map", "house", "house_with", "night", "night_of", "others", "the_weather", "watts",
    "with_heat", "with_other_heat",
]  # fmt: skip

DATE = "2025-01-20"
FRONT_ROW = 9
"""Drums that stand in the front row, behind the south panes: only they are struck by the sun."""
MOST_DRUMS, MOST_WATTS = 40, 3000.0
KWH = 3.6e6
STORES_SHOWN = 12.0
"""Temperature at which the stores are drawn where nothing is run yet [°C]."""
DAY = 86400.0

CROPS = {
    "greens": {"metric": "leafy greens, 2 °C", "US": "leafy greens, 36 °F"},
    "seedlings": {"metric": "seedlings, 10 °C", "US": "seedlings, 50 °F"},
}
LIMITS = {"greens": 2.0, "seedlings": 10.0}
"""What each crop wants in the night [°C]."""
BEFORE = {"clear": "clear days", "sunless": "three days without sun"}
SWING = {"clear": DESIGN_NIGHT["warmest"] - DESIGN_NIGHT["coldest"], "sunless": 6.0}
"""Warmest of a day less coldest of the night: clouds even it out [K]."""
LOOKS = {"cutaway": "house at six in the morning", "hours": "hours from noon to noon"}
SIX = 6 * 3600.0
"""Before noon of the last day, the moment the cutaway shows: still dark, the curtain drawn [s]."""

DRUM_PRICE, DRUM_YEARS = 30.0, 15.0
"""Price of a drum with its stand in any currency (invented), and how long it lasts [money, years]."""


def _show(value, quantity, units, digits=None):
    return format_quantity(value, quantity, units, digits=digits)


def count(number):
    """Write a whole number for a table, or that none does."""
    return "out of reach" if number is None else f"{number:.0f}"


def watts(power):
    """Make a table's cell of a heater's power, or say that none does [W]."""
    return "out of reach" if power is None else (power, "electric_power")


def _degrees(value, units):
    return float(to_display(value, "temperature", units))


@lru_cache
def _first_weather(before):
    place = demo_house().place
    more = dict(snow=True, longitude=place.longitude, utc_offset=place.utc_offset, elevation=place.elevation)
    ends = dict(minimum=DESIGN_NIGHT["coldest"], maximum=DESIGN_NIGHT["coldest"] + SWING[before])
    make = design_night if before == "clear" else sunless_days
    return make(place.latitude, DATE, **ends, **more)


@lru_cache(maxsize=200)
def the_weather(before, coldest):
    """Return two days, or clear ones and three covered ones, with the night after them, as cold as told.

    The sun does not hang on the cold, so it is worked out once; temperature and dew point move together.
    """
    first = _first_weather(before)
    shift = coldest - DESIGN_NIGHT["coldest"]
    return replace(first, temperature=first.temperature + shift, dew_point=first.dew_point + shift)


@lru_cache
def _gains(before):
    return fabric.gains(demo_house(9), _first_weather(before))


def house_with(drums, power=0.0, limit=2.0, *, leaks=None, curtain=True, base=9):
    """Return the demo house with so many drums and a heater that holds a limit.

    The front row of nine catches the sun. Further drums stand behind it: they hold more, and catch nothing.
    """
    house = demo_house(base)
    share = house.store("drums").sun_share * min(drums, FRONT_ROW) / FRONT_ROW
    changes = {"stores.drums.count": drums, "stores.drums.sun_share": share, "limits.minimum": limit}
    if leaks is not None:
        changes["air.air_change_rate"] = leaks
    if not curtain:
        changes["curtain"] = None
    changes["heater"] = Heater(power, limit) if power else None
    return house.changed(**changes)


@dataclass(frozen=True)
class NightOf:
    """A course with what counts of its last day, from noon to noon."""

    course: object
    lowest: float
    """Lowest air [°C]."""
    when: float
    """Moment of it, from the start of the weather [s]."""
    heat: float
    """Heat from the heater in the last day [J]."""
    mean: float
    """Mean of the air over the last day [°C]."""
    last: np.ndarray
    """Which steps are of the last day [yes/no]."""


def _judged(course):
    last = course.time > course.time[-1] - DAY
    at = int(np.argmin(np.where(last, course.air, np.inf)))
    heat = float(course.heater[last].sum() * course.step)
    return NightOf(course, float(course.air[at]), float(course.time[at]), heat, float(course.air[last].mean()), last)


@lru_cache(maxsize=600)
def night_of(drums, power, limit=2.0, before="clear", coldest=-24.0, leaks=None, curtain=True):
    """Run the demo house through a night and what comes before it."""
    house = house_with(drums, power, limit, leaks=leaks, curtain=curtain)
    return _judged(run(house, the_weather(before, coldest), gains=_gains(before)))


def with_heat(ready, heater):
    """Return a prepared run with another heater in the air, or none; all else is kept."""
    given = (heater.power, heater.setpoint, heater.band, -1) if heater and heater.power else None
    house = ready.house.changed("heater", heater)
    return replace(ready, house=house, inputs=replace(ready.inputs, heater=given))


def with_other_heat(ready, watts):
    """Return a prepared run whose air gets further heat, step by step [W]; it counts as the path ``other``."""
    extra = np.broadcast_to(np.asarray(watts, dtype=float), ready.time.shape)
    gain = [have + more for have, more in zip(ready.inputs.gain, extra.tolist())]
    return replace(ready, inputs=replace(ready.inputs, gain=gain), fixed=ready.fixed | {"other": -extra})


def house(units):
    """Draw the demo house with all that lessons 1 to 9 did to it, held at the greens' limit on the design night."""
    now, outside = demo_house(9), DESIGN_NIGHT["coldest"]
    bill = loss_bill(now, LIMITS["greens"], outside)
    section, flows = section_of(now), flows_of_bill(now, bill)
    stores = stores_of(now, {store.name: STORES_SHOWN for store in now.stores})
    case = dict(inside=LIMITS["greens"], outside=outside, units=units)
    return Picture(
        cutaway(section, flows, stores, **case),
        f"At {_show(outside, 'temperature', units)} the house after nine lessons loses "
        f"{_show(bill.total, 'heat_flow', units)}.",
        cutaway_words(section, flows, stores, **case),
        {"lost in all": _show(bill.total, "heat_flow", units)},
    )


LEAKS = demo_house(9).air.air_change_rate


@view(
    title="The whole house through one night",
    controls=[
        Slider("drums", "Drums of water", "count", 0, MOST_DRUMS, 9),
        Slider("power", "Heater", "electric_power", 0.0, MOST_WATTS, 0.0, {"metric": 50, "US": 50}),
        Slider("coldest", "Coldest air outside", "temperature", -30.0, 0.0, -24.0, {"metric": 1, "US": 1}),
        Slider(
            "leaks", "Leaks, air changes in an hour", "air_change_rate", 0.2, 3.0, LEAKS, {"metric": 0.1, "US": 0.1}
        ),
        Toggle("curtain", "Night curtain", True),
        Choice("crop", "The crop and its limit", CROPS, "greens", CROPS),
        Choice("before", "Before this night", BEFORE, "clear", BEFORE),
        Choice("look", "Show the", LOOKS, "cutaway", LOOKS),
    ],
)
def night(drums, power, coldest, leaks, curtain, crop, before, look, units):
    """Draw the house before dawn with all that flows, or the hours of the night."""
    limit = LIMITS[crop]
    one = night_of(drums, power, limit, before, coldest, leaks, curtain)
    draw = _cutaway if look == "cutaway" else _hours
    svg, words = draw(one, limit, units)
    spare = one.lowest - limit
    word = "to spare" if spare >= 0 else "too cold"
    result = f"{_apart(spare, units)} {word}"
    things = f"{drums} drum{'' if drums == 1 else 's'}"
    things += f" and a heater of {stated(power, 'electric_power', units)}" if power else ", no heater"
    text = f"{things}: the air falls to {_show(one.lowest, 'temperature', units)}, {result}."
    if power:
        text += f" The heater gives {_show(one.heat, 'energy', units)}."
    return Picture(svg, text, words, _night_numbers(one, limit, units))


def _apart(kelvin, units):
    """Write how far air and limit lie apart with one place, as both are written; less than that with one figure."""
    shown, unit = abs(to_display(kelvin, "temperature_difference", units)), unit_of("temperature_difference", units)
    if 0 < shown < 0.095:
        return _show(abs(kelvin), "temperature_difference", units, 1)
    return f"{shown:.1f} {unit.label}"


def _night_numbers(one, limit, units):
    course = one.course
    numbers = {
        "lowest air": f"{_show(one.lowest, 'temperature', units)} at {_clock(course, one.when)}",
        "hours below the limit": _show(3600 * _below(one, limit), "time", units, 2),
        "mean air, noon to noon": _show(one.mean, "temperature", units),
        "heat from the heater": _show(one.heat, "energy", units),
    }
    if "drums" in course.stores:
        water = course.stores["drums"][one.last]
        warm, cold = (_show(float(t), "temperature", units) for t in (water.max(), water.min()))
        numbers["drums, warmest and coldest"] = f"{warm} and {cold}"
    return numbers


def _below(one, limit):
    return float((one.course.air[one.last] < limit).sum() * one.course.step / 3600)


def _clock(course, when):
    return str(course.weather.start + np.timedelta64(int(when), "s"))[11:16]


def _cutaway(one, limit, units):
    course = one.course
    at = int(np.searchsorted(course.time, course.weather.time[-1] - SIX))
    flows = flows_of_hour(course, float(course.time[at]))
    temperatures = {name: float(values[at]) for name, values in course.stores.items()}
    ice = {name: share for name, share in course.frozen.items() if temperatures[name] <= 0}
    stores = stores_of(course.house, temperatures, ice=ice)
    section = section_of(course.house)
    case = dict(inside=float(course.air[at]), outside=float(course.outside[at]), units=units)
    svg = cutaway(section, flows, stores, **case)
    return svg, f"At {_clock(course, float(course.time[at]))}. " + cutaway_words(section, flows, stores, **case)


def _hours(one, limit, units):
    course, last = one.course, one.last
    hours = (course.time[last] - course.time[last][0]) / 3600
    every = slice(None, None, 3)

    def line(name, values, style):
        return Line(name, tuple(hours[every]), tuple(_degrees(v, units) for v in values[last][every]), style)

    rows = [line("air", course.air, 1)]
    words = {"drums": ("drums", 0), "bed": ("bed", 2)}
    rows += [line(*(words[name][0], course.stores[name], words[name][1])) for name in words if name in course.stores]
    rows.append(line("outside", course.outside, 4))
    unit = unit_of("temperature", units).label
    names = ((0, "noon"), (6, "6 pm"), (12, "midnight"), (18, "6 am"), (24, "noon"))
    share = course.heater[last] / course.house.heater.power if course.house.heater else None
    svg = charts.course(
        rows, Axis("Time of day", 0, 24, names),
        Axis(f"Temperature, {unit}", _degrees(-35.0, units), _degrees(30.0, units)),
        crop_limit=(_degrees(limit, units), "the crop's limit"), watched=0,
        heater=(tuple(hours), tuple(share)) if share is not None else None,
    )  # fmt: skip
    ends = ", ".join(
        f"{row.name} from {max(row.ys):.1f} {unit} down to {min(row.ys):.1f} {unit}".replace("-", "−") for row in rows
    )
    return svg, f"Temperatures from noon to noon: {ends}. The limit is {_show(limit, 'temperature', units)}."


COLUMNS = tuple(range(0, MOST_DRUMS + 1, 5))
ROWS = tuple(500.0 * n for n in range(7))
PATIENCE = 10.0
"""The other maps begin to fill so long after the first is drawn, when the rest of the page has run [s]."""
STEP = 25.0
"""The least heater is found to so many watts, upward [W]."""
NIGHTS = {
    "design": {"metric": "the design night, −24 °C", "US": "the design night, −11 °F"},
    "milder": {"metric": "a milder night, −16 °C", "US": "a milder night, 3 °F"},
    "sunless": {"metric": "three days without sun, −16 °C", "US": "three days without sun, 3 °F"},
}
_SPELLS = {"design": ("clear", -24.0), "milder": ("clear", -16.0), "sunless": ("sunless", -16.0)}


@dataclass(frozen=True)
class DrumMap:
    """Margins [K] by heater (rows) and drums (columns), the least heater [W] and its heat [J] for each column."""

    margins: tuple
    least: tuple
    heats: tuple


@lru_cache(maxsize=64)
def drum_map(spell, limit):
    """Work out once which pairs of drums and heater hold a limit through a night."""
    columns = [_column(drums, spell, limit) for drums in COLUMNS]
    margins = tuple(zip(*(column[0] for column in columns)))
    return DrumMap(margins, *(tuple(column[n] for column in columns) for n in (1, 2)))


@lru_cache(maxsize=256)
def _column(drums, spell, limit):
    """Return the margins of a column, the least heater, and its heat; a stronger one adds nothing.

    Between two runs that fall short the margin is read from a straight line; it only shades the map.
    """
    before, coldest = _SPELLS[spell]
    ready = prepare(house_with(drums, 0.0, limit), the_weather(before, coldest), gains=_gains(before))

    def tried(power):
        return _judged(with_heat(ready, Heater(power, limit) if power else None).run())

    bare = tried(0.0)
    if bare.lowest >= limit:
        return [bare.lowest - limit] * len(ROWS), 0.0, 0.0
    power, best = _just_enough(tried, limit)
    knots = [(0.0, bare.lowest - limit)]
    knots += [(row, tried(row).lowest - limit) for row in (1000.0, 2000.0) if row < power - STEP]
    below = np.interp(ROWS, *zip(*knots, (power, -1e-9)))
    margins = [float(low) if row < power else best.lowest - limit for row, low in zip(ROWS, below)]
    return margins, power, best.heat


def _just_enough(tried, limit):
    """Close in on the least power, in whole steps; the most that an endless heater is asked for is about enough."""
    endless = tried(20e3)
    asked = endless.course.heater[endless.last & (endless.course.air < limit + 0.49)]
    strong = math.ceil((float(asked.max()) if asked.size else 20e3) / STEP)
    weak, best = 0, tried(strong * STEP)
    while best.lowest < limit:
        weak, strong = strong, strong + 2
        best = tried(strong * STEP)
    while strong - weak > 1:
        # nearly all of what is asked is nearly always needed
        middle = max(weak + 1, int(0.88 * strong)) if weak == 0 else (weak + strong) // 2
        one = tried(middle * STEP)
        if one.lowest < limit:
            weak = middle
        else:
            strong, best = middle, one
    return strong * STEP, best


def _fill_maps():
    """Work out the columns of the other maps while nobody waits, with long rests for whoever does."""
    clock.sleep(PATIENCE)
    for limit in LIMITS.values():
        for spell in NIGHTS:
            for drums in COLUMNS:
                _column(drums, spell, limit)
                clock.sleep(0.3)


@lru_cache(maxsize=1)
def _start_filling():
    threading.Thread(target=_fill_maps, daemon=True).start()


@view(
    title="Drums or heater?",
    controls=[
        Slider("drums", "Drums of water", "count", 0, MOST_DRUMS, 9),
        Slider("power", "Heater", "electric_power", 0.0, MOST_WATTS, 500.0, {"metric": 50, "US": 50}),
        Slider("cold_nights", "Nights as cold as this in a winter", "count", 0, 60, 15),
        Slider("price", "Price of a kilowatt-hour", "money", 0.05, 0.6, 0.2, {"metric": 0.01, "US": 0.01}),
        Choice("crop", "The crop and its limit", CROPS, "greens", CROPS),
        Choice("spell", "What it must stand", NIGHTS, "design", NIGHTS),
    ],
)
def choices(drums, power, cold_nights, price, crop, spell, units):
    """Draw which pairs of drums and heater hold the limit, and the cheapest of them."""
    limit, known = LIMITS[crop], drum_map(spell, LIMITS[crop])
    _start_filling()
    before, coldest = _SPELLS[spell]
    one = night_of(drums, power, limit, before, coldest)
    costs = [_winter_cost(n, heat, cold_nights, price) for n, heat in zip(COLUMNS, known.heats)]
    cheap = int(np.argmin(costs))
    spare = one.lowest - limit
    verdict = "is held with" if spare >= 0 else "is missed by"
    text = (
        f"{drums} drum{'' if drums == 1 else 's'} and {_heater(power, units)}: the air falls to "
        f"{_show(one.lowest, 'temperature', units)}; the limit of {_show(limit, 'temperature', units)} {verdict} "
        f"{_apart(spare, units)}{' to spare' if spare >= 0 else ''}."
    )
    own = _winter_cost(drums, one.heat, cold_nights, price)
    needed = known.least[cheap]
    pair = f"{COLUMNS[cheap]} drums {'with' if needed else 'and'} {_heater(needed, units)}"
    numbers = {
        "this pair in a winter": f"{own:.0f} of your money",
        "cheapest on the line": f"{pair}, {costs[cheap]:.0f} in a winter",
        "heat of this night": _show(one.heat, "electric_energy", units, 2),
        "least heater without drums": _show(known.least[0], "electric_power", units),
        f"least heater with {MOST_DRUMS} drums": _show(known.least[-1], "electric_power", units),
    }
    return Picture(
        _map_drawing(known, drums, power, costs, cheap, units),
        text + f" A winter costs {own:.0f}; the cheapest that holds it, {pair}, costs {costs[cheap]:.0f}.",
        f"Map of drums from 0 to {MOST_DRUMS} and heaters up to {_show(MOST_WATTS, 'electric_power', units)}, warm "
        f"enough above a line: {_line_words(known, units)}. Cheapest: {pair}.",
        numbers,
    )


def _heater(power, units):
    return stated(power, "electric_power", units) if power else "no heater"


def _winter_cost(drums, heat, cold_nights, price):
    """Count the drums' yearly share and the heat of the cold nights; milder nights come on top [money]."""
    return drums * DRUM_PRICE / DRUM_YEARS + cold_nights * heat / KWH * price


def _line_words(known, units):
    pairs = [f"{n} drums need {_show(p, 'electric_power', units)}" for n, p in zip(COLUMNS, known.least)]
    return ", ".join(pairs[::2])


def _map_drawing(known, drums, power, costs, cheap, units):
    frontier = [(n, min(p, MOST_WATTS)) for n, p in zip(COLUMNS, known.least)]
    first = next((i for i, p in enumerate(known.least) if p == 0), None)
    if first is not None:
        frontier = frontier[: first + 1]
    marks = [(COLUMNS[cheap], min(known.least[cheap], MOST_WATTS), f"cheapest: {costs[cheap]:.0f}")]
    return charts.heat_map(
        Axis("Drums of water", 0, MOST_DRUMS), Axis("Heater, W", 0, MOST_WATTS), known.margins,
        frontier=frontier, point=(drums, power, "yours"), costs=marks,
    )  # fmt: skip


FUELS = {
    "electricity": "electricity",
    "natural_gas": "natural gas",
    "propane": "propane",
    "heating_oil": "heating oil",
    "firewood": "firewood",
    "wood_pellets": "wood pellets",
}
US_AMOUNT = {
    "L": ("gal", 0.2641720524),
    "kg": ("lb", 2.2046226218),
    "m³": ("therms", 0.353147 * 1.03),
    "kWh": ("kWh", 1.0),
}
"""Fuels in US trade units; a therm is 100 000 Btu of a gas with 1 030 Btu in the cubic foot [–]."""
HEAP_DAYS, HEAP_WATTS_PER_KELVIN = 60.0, 15.0
"""How long a heap works, and what coil, water and radiator carry for each degree [d, W/K]."""
CABLE_DEPTH, CABLE_FOAM, CABLE_SOIL = 0.15, 0.05, "soil_moist"
"""Soil over the cable and foam under it [m]."""
LAMP = (16.0, 22.0)
"""Hours of the clock during which the lamp burns [h]."""


def other_heat(dry_mass, cable, lamp, hours):
    """Return what heap, cable and lamp give to the air at hours of the clock [W], by name.

    The cable's bed is taken as settled, and the heap as steady.
    """
    made = compost_heat(dry_mass, HEAP_DAYS) if dry_mass else 0.0
    hot = entry("heat_sources", "compost", "pile_temperature").value
    heap = compost_radiator(made, hot, LIMITS["greens"], HEAP_WATTS_PER_KELVIN)
    on = (hours >= LAMP[0]) & (hours < LAMP[1])
    return {
        "compost heap": np.full_like(hours, heap),
        "soil cable": np.full_like(hours, cable * cable_share()),
        "grow light": on * electric_heat(lamp),
    }


@lru_cache
def cable_share():
    """Return the part of a cable's heat that goes up into the house [0–1]."""
    soil = layer_resistance(CABLE_DEPTH, entry("materials", CABLE_SOIL, "conductivity").value)
    foam = layer_resistance(CABLE_FOAM, entry("materials", "xps", "conductivity").value)
    below = layer_resistance(1.0, entry("materials", CABLE_SOIL, "conductivity").value)
    return cable_bed(100.0, 0.0, 0.0, soil + surface_resistance("up"), foam + below).upward / 100.0


@lru_cache(maxsize=400)
def _helped(dry_mass, cable, lamp):
    """Run the house with nine drums and other heat, once bare and once with a heater that holds the limit."""
    limit = LIMITS["greens"]
    ready = _ready_for_others()
    hours = (ready.time / 3600) % 24
    parts = other_heat(dry_mass, cable, lamp, hours)
    ready = with_other_heat(ready, sum(parts.values()))
    bare, held = _judged(ready.run()), _judged(with_heat(ready, Heater(5000.0, limit)).run())
    given = {name: float(watts[held.last].sum() * held.course.step) for name, watts in parts.items()}
    return bare, held, given


@lru_cache
def _ready_for_others():
    return prepare(house_with(0), the_weather("clear", DESIGN_NIGHT["coldest"]), gains=_gains("clear"))


@view(
    title="Other heat, and what the rest costs",
    controls=[
        Slider("dry_mass", "Compost heap, dry weight", "mass", 0.0, 2000.0, 300.0, {"metric": 50, "US": 100}),
        Slider("cable", "Soil cable", "electric_power", 0.0, 1500.0, 200.0, {"metric": 50, "US": 50}),
        Slider("lamp", "Grow light, in the evening", "electric_power", 0.0, 1000.0, 200.0, {"metric": 50, "US": 50}),
        Slider("cold_nights", "Nights as cold as this in a winter", "count", 5, 60, 15),
        Choice("fuel", "The heater burns", FUELS, "electricity", FUELS),
    ],
)
def others(dry_mass, cable, lamp, cold_nights, fuel, units):
    """Draw what each source gives from noon to noon in the house without drums, and what the heater must add."""
    bare, held, given = _helped(dry_mass, cable, lamp)
    use = fuel_use(held.heat * cold_nights, [fuel])[fuel]
    name, scale = US_AMOUNT[use.unit] if units == "US" else (use.unit, 1.0)
    amount = f"{use.amount * scale:.3g} {name}"
    rest = _show(held.heat, "energy", units)
    rows = [*given.items(), ("heater adds", held.heat)]
    unit = unit_of("energy", units).label
    shown = [(name, float(to_display(heat, "energy", units))) for name, heat in rows]
    listed = ", ".join(f"{name} {_show(heat, 'energy', units)}" for name, heat in rows)
    return Picture(
        charts.comparison(shown, unit, float(to_display(24 * KWH, "energy", units)), title="Heat from noon to noon"),
        f"Without a heater the air falls to {_show(bare.lowest, 'temperature', units)}; to hold the greens' limit the "
        f"heater adds {rest} in such a night: {amount} of {FUELS[fuel]} in {cold_nights} nights, for {use.cost:.0f}.",
        f"Heat given to the house without drums from noon to noon: {listed}.",
        {
            "lowest air without heater": _show(bare.lowest, "temperature", units),
            "heater adds": rest,
            "its peak": _show(float(held.course.heater[held.last].max()), "heat_flow", units),
            f"{FUELS[fuel]} in {cold_nights} such nights": amount,
            "at the invented price": f"{use.cost:.0f}",
            "carbon dioxide": _show(use.carbon_dioxide, "mass", units),
        },
    )
