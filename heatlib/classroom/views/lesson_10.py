"""Views of lesson 10: the whole balance of one night, drums against heater, and other heat with its price."""

import numpy as np

from heatlib.classroom import charts
from heatlib.classroom.charts import Axis, Line
from heatlib.classroom.controls import stated
from heatlib.classroom.cutaway import cutaway, cutaway_words
from heatlib.classroom.house_hours import flows_of_hour
from heatlib.classroom.house_section import flows_of_bill, section_of, stores_of
from heatlib.classroom.picture import Picture
from heatlib.classroom.view import Choice, Slider, Toggle, view
from heatlib.classroom.views.heat_besides import helped
from heatlib.classroom.views.map_of_drums import COLUMNS, SPELLS, drum_map, start_filling
from heatlib.classroom.views.nights import house_with, night_of, the_weather, with_heat, with_other_heat
from heatlib.house.bill import loss_bill
from heatlib.house.demo import DESIGN_NIGHT, demo_house
from heatlib.house.season import fuel_use
from heatlib.units import format_quantity, to_display, unit_of

__all__ = [
    "choices", "count", "drum_map", "house", "house_with", "night", "night_of", "others", "the_weather", "watts",
    "with_heat", "with_other_heat",
]  # fmt: skip

MOST_DRUMS, MOST_WATTS = COLUMNS[-1], 3000.0
KWH = 3.6e6
STORES_SHOWN = 12.0
"""Temperature at which the stores are drawn where nothing is run yet [°C]."""
CROPS = {
    "greens": {"metric": "leafy greens, 2 °C", "US": "leafy greens, 36 °F"},
    "seedlings": {"metric": "seedlings, 10 °C", "US": "seedlings, 50 °F"},
}
LIMITS = {"greens": 2.0, "seedlings": 10.0}
"""What each crop wants in the night [°C]."""
BEFORE = {"clear": "clear days", "sunless": "three days without sun"}
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
        Slider("leaks", "Leaks, air changes", "air_change_rate", 0.2, 3.0, LEAKS, {"metric": 0.1, "US": 0.1}),
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


NIGHTS = {
    "design": {"metric": "the design night, −24 °C", "US": "the design night, −11 °F"},
    "milder": {"metric": "a milder night, −16 °C", "US": "a milder night, 3 °F"},
    "sunless": {"metric": "three days without sun, −16 °C", "US": "three days without sun, 3 °F"},
}


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
    start_filling(*LIMITS.values())
    before, coldest = SPELLS[spell]
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
    bare, held, given = helped(dry_mass, cable, lamp)
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
