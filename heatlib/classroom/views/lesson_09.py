"""Views of lesson 9: air on its way through a pipe, a day with the fan, and the house at one hour."""

from functools import lru_cache
from typing import NamedTuple

import numpy as np

from heatlib.classroom import charts, cutaway
from heatlib.classroom.house_hours import flows_of_hour
from heatlib.classroom.house_section import section_of, stores_of
from heatlib.classroom.picture import Picture
from heatlib.classroom.view import Choice, Slider, Toggle, view
from heatlib.ground import soil_diffusivity, soil_temperature
from heatlib.house import fabric, nodes
from heatlib.house.balance import run
from heatlib.house.demo import DESIGN_NIGHT, demo_house
from heatlib.house.greenhouse import Pipes, Shade, Vents
from heatlib.house.weather import design_night
from heatlib.infiltration import door_flow
from heatlib.moist_air import pressure_at
from heatlib.pipes import pipe_flow
from heatlib.units import format_quantity, to_display, unit_of

__all__ = [
    "DAYS",
    "bed",
    "bed_pace",
    "cold_nights",
    "course_of",
    "day",
    "floor_soil",
    "hottest",
    "house",
    "measures",
    "most_heat",
    "pipe",
    "soil",
    "through",
    "weather_of",
]

DAYS = {"july": "a hot day in July", "april": "a sunny day in April", "january": "the design night"}
COLD = 5.0
"""Where the fan runs in the cold too, it starts below this [°C]."""
FIRST, LAST = 6.0, 36.0
"""Hours of the clock that are shown: from six in the morning to noon of the next day [h]."""


class Moment(NamedTuple):
    """A moment for which the pipes are looked at alone: air drawn in [°C], its humidity [0–1], day of the year."""

    air: float
    humidity: float
    day: float


MOMENTS = {"july": Moment(32.0, 0.5, 201.0), "april": Moment(25.0, 0.6, 100.0), "january": Moment(2.0, 0.9, 20.0)}
_WEATHER = {"july": ("2025-07-20", 16.0, 33.0, False), "april": ("2025-04-10", -3.0, 10.0, False),
            "january": ("2025-01-20", DESIGN_NIGHT["coldest"], DESIGN_NIGHT["warmest"], True)}  # fmt: skip
"""Invented days: date, coldest, warmest, snow."""


def bed():
    """Return the pipes of the demo house."""
    return demo_house(9).pipes


def soil(day_of_year, depth):
    """Give the temperature of open ground at the demo house by day of the year and depth [°C]."""
    place, diffusivity = demo_house().place, float(soil_diffusivity(demo_house().floor.soil))
    ground = place.ground_mean, place.ground_swing, place.coldest_day, diffusivity
    return float(soil_temperature(depth, day_of_year, *ground))


def through(when, depth=None, humid=True, wall=None, **changes):
    """Send the air of one of :data:`MOMENTS` through the demo's pipes, with some of their numbers changed.

    ``wall`` is the temperature of the soil; left out, that of open ground at the depth [°C].
    """
    moment, own = MOMENTS[when], bed()
    numbers = {"flow": own.flow, "length": own.length, "diameter": own.diameter, "count": own.count} | changes
    pressure = float(pressure_at(demo_house().place.elevation))
    if wall is None:
        wall = soil(moment.day, own.depth if depth is None else depth)
    return pipe_flow(moment.air, wall, **numbers, relative_humidity=moment.humidity * humid, pressure=pressure)


def _show(value, quantity, units, digits=None):
    return format_quantity(value, quantity, units, digits=digits)


def _degrees(values, units):
    return tuple(float(v) for v in to_display(np.asarray(values, float), "temperature", units))


def _degree_axis(low, high, units):
    ends, step = _degrees((low, high), units), 10 if units == "metric" else 20
    return charts.Axis(f"temperature, {unit_of('temperature', units).label}", step * np.floor(ends[0] / step),
                       step * np.ceil(ends[1] / step))  # fmt: skip


@view(
    "Air on its way through the pipes",
    [
        Slider("length", "Length of each pipe", "length", 1.0, 30.0, 6.0, steps={"metric": 0.5, "US": 1}),
        Slider("diameter", "Diameter", "thickness", 0.08, 0.25, 0.1, steps={"metric": 5, "US": 0.5}),
        Slider("count", "Pipes side by side", "count", 4, 16, 6),
        Slider("flow", "Air through all of them", "air_flow", 0.02, 0.3, 0.15, steps={"metric": 10, "US": 10}),
        Choice("when", "Time", tuple(DAYS), "july", labels=DAYS),
    ],
)  # fmt: skip
def pipe(length, diameter, count, flow, when, *, units):
    """Draw the temperature of the air along the pipes."""
    numbers = {"diameter": diameter, "count": count, "flow": flow}
    moment, own = MOMENTS[when], through(when, length=length, **numbers)
    ground = soil(moment.day, bed().depth)
    ways = np.linspace(0.0, 30.0, 61)
    share = np.exp(-own.ntu * ways / length)
    along = ground + (moment.air - ground) * share
    shown = tuple(float(v) for v in to_display(ways, "length", units))
    lines = [charts.Line("air in the pipe", shown, _degrees(along, units), 1),
             charts.Line("soil", (shown[0], shown[-1]), _degrees((ground, ground), units), 2)]  # fmt: skip
    out = _show(own.outlet, "temperature", units)
    point = (to_display(length, "length", units), _degrees([own.outlet], units)[0], out)
    across = charts.Axis(f"along the pipe, {unit_of('length', units).label}", 0, shown[-1])
    drawing = charts.lines(lines, across, _degree_axis(-5.0, 35.0, units), point=point)
    heat = cutaway.watts_text(own.heat, units)
    way = f"gives {heat} to" if own.heat > 0 else f"takes {heat} from"
    words = (
        f"Air of {_show(moment.air, 'temperature', units)} comes back with {out} and {way} the soil of "
        f"{_show(ground, 'temperature', units)}; the fan draws {_show(own.fan_power, 'electric_power', units, 2)}."
    )
    figures = {
        "air comes back with": out,
        "heat to the soil" if own.heat > 0 else "heat from the soil": heat,
        "of it by drops": cutaway.watts_text(own.latent, units),
        "water that drips in an hour": _show(own.condensed * 3600, "vapour_mass", units, 2),
        "transfer units": f"{own.ntu:.2g}",
        "pressure": _show(own.pressure_drop, "pressure", units, 2),
        "fan": _show(own.fan_power, "electric_power", units, 2),
    }
    description = f"The air falls or rises along the pipe toward a level line, the soil. {words}"
    return Picture(drawing, words, description, figures)


@lru_cache
def weather_of(when):
    """Return one of the invented spells of weather at the demo house, with two like days before."""
    (date, low, high, snow), place = _WEATHER[when], demo_house().place
    return design_night(
        place.latitude, date, minimum=low, maximum=high, snow=snow, longitude=place.longitude,
        utc_offset=place.utc_offset, elevation=place.elevation,
    )  # fmt: skip


@lru_cache
def _gains(when):
    return fabric.gains(demo_house(9), weather_of(when))


def _opened(vents, door):
    """Vents, the open door beside them, or neither: the door is opened when the house is as warm as vents ask for."""
    own, rate = demo_house(9).vents, 0.0
    if vents:
        rate += own.air_change_rate
    if door:
        air = demo_house(9).air
        # a door that stands open, with 3 degrees between inside and outside
        flow = float(door_flow(air.door_width, air.door_height, 30.0, 27.0, 3600.0, 1.0))
        rate += flow / demo_house(9).volume * 3600
    return Vents(own.opens_at, own.band, rate) if rate else None


@lru_cache(maxsize=512)
def course_of(when, count=None, flow=None, depth=None, starts=None, vents=True, shade=False, door=False, below=None):
    """Run the demo house through one of :data:`DAYS`; what is left out is as the demo house has it."""
    own = bed()
    fan = own.on_above if starts is None else starts
    pipes = Pipes(
        length=own.length, diameter=own.diameter, spacing=own.spacing, corrugated=own.corrugated,
        count=own.count if count is None else count, flow=own.flow if flow is None else flow,
        depth=own.depth if depth is None else depth, on_above=fan, on_below=below, hysteresis=own.hysteresis,
    )  # fmt: skip
    changes = {"pipes": pipes if pipes.count else None, "vents": _opened(vents, door)}
    changes["shade"] = Shade(0.5, 1, 366) if shade else None
    return run(demo_house(9).changed(**changes), weather_of(when), gains=_gains(when))


def _hours(course):
    return (course.time - (course.weather.time[-1] - LAST * 3600)) / 3600


def hottest(course):
    """Return the highest temperature of the air in the shown hours [°C]."""
    return float(course.air[_hours(course) >= FIRST].max())


def _coldest(course):
    return float(course.air[_hours(course) >= FIRST].min())


def _energy(course, flow):
    return float(flow[_hours(course) >= FIRST].sum() * course.step)


@view(
    "A day with buried pipes",
    [
        Slider("count", "Pipes", "count", 0, 20, 6),
        Slider("flow", "Air through all of them", "air_flow", 0.02, 0.4, 0.15, steps={"metric": 10, "US": 10}),
        Slider("depth", "Depth", "length", 0.3, 1.1, 0.6, steps={"metric": 0.1, "US": 0.5}),
        Slider("starts", "The fan starts when the air has", "temperature", 15.0, 40.0, 22.0,
               steps={"metric": 1, "US": 1}),
        Choice("when", "Time", tuple(DAYS), "july", labels=DAYS),
        Toggle("vents", "Vents", True),
        Toggle("shade", "Shade cloth over the panes", False),
        Toggle("door", "Door open on warm hours", False),
        Toggle("cold", "The fan runs in the cold too", False),
    ],
)  # fmt: skip
def day(count, flow, depth, starts, when, vents, shade, door, cold, *, units):
    """Draw a day and its night with the pipes and without."""
    course = course_of(when, count, flow, depth, starts, vents, shade, door, COLD if cold else None)
    bare = course_of(when, 0, vents=vents, shade=shade, door=door)
    hours = _hours(course)
    shown = np.flatnonzero(hours >= FIRST)[::3]
    rows = [("air", course.air, 1), ("without pipes", bare.air, 5), ("outside", course.outside, 4)]
    if "pipes" in course.layers:
        rows.insert(2, ("soil at the pipes", course.layers["pipes"][0], 2))
    lines = [charts.Line(name, tuple(hours[shown]), _degrees(values[shown], units), style)
             for name, values, style in rows]  # fmt: skip
    names = tuple((h, "midnight" if h == 24 else f"{h % 24:02d}:00") for h in (6, 12, 18, 24, 30, 36))
    low, high = (-25.0, 40.0) if when == "january" else (-5.0, 45.0)
    limit = course.house.limits.maximum
    mark = (_degrees([limit], units)[0], f"too hot from {_show(limit, 'temperature', units)}")
    if when == "january":
        limit = course.house.limits.minimum
        mark = (_degrees([limit], units)[0], f"limit {_show(limit, 'temperature', units)}")
    across, up = charts.Axis("time of day", FIRST, LAST, names), _degree_axis(low, high, units)
    if when == "january":
        drawing = charts.course(lines, across, up, crop_limit=mark)
    else:
        drawing = charts.lines(lines, across, up, limit=mark)
    words, figures = _day_words(course, bare, when, starts, units)
    spans = ", ".join(
        f"{name} between {_show(float(v[shown].min()), 'temperature', units)} and "
        f"{_show(float(v[shown].max()), 'temperature', units)}"
        for name, v, _ in rows
    )
    return Picture(drawing, words, f"Lines from six in the morning to noon of the next day: {spans}. {words}", figures)


def _long(seconds):
    return f"{round(seconds / 60)} minutes" if seconds < 7200 else f"{seconds / 3600:.1f} hours"


def _day_words(course, bare, when, starts, units):
    ran = float(course.fan[_hours(course) >= FIRST].sum() * course.step)
    pick, word = (_coldest, "coldest") if when == "january" else (hottest, "hottest")
    words = f"At the {word} the air has {_show(pick(course), 'temperature', units)}"
    words += f", without pipes {_show(pick(bare), 'temperature', units)}"
    if when == "january":
        short = float((course.air[_hours(course) >= FIRST] < course.house.limits.minimum).sum() * course.step)
        told = f"; it stays below the limit for {_long(short)}"
        words += told if short else "; it never falls below the limit"
    figures = {
        f"{word} with pipes": _show(pick(course), "temperature", units),
        f"{word} without": _show(pick(bare), "temperature", units),
        "coldest with pipes": _show(_coldest(course), "temperature", units),
        "coldest without": _show(_coldest(bare), "temperature", units),
    }
    rule = ""
    if course.house.pipes:
        rule = f", set to run above {_show(starts, 'temperature', units)}"
        if course.house.pipes.on_below is not None:
            rule += f" and below {_show(COLD, 'temperature', units)}"
    if ran:
        heat = _energy(course, course.exchange["pipes"])
        way, where = ("puts", "into the soil") if heat > 0 else ("takes", "out of the soil")
        words += f". The fan{rule}, runs {ran / 3600:.0f} hours and {way} {_show(abs(heat), 'energy', units)} {where}"
        figures[f"heat {where}"] = _show(abs(heat), "energy", units)
        figures["electricity of the fan"] = _show(-_energy(course, course.flows["fan"]), "electric_energy", units, 2)
        rings = course.layers["pipes"][0][_hours(course) >= FIRST]
        figures["soil at the pipes, at most"] = _show(float(rings.max()), "temperature", units)
    else:
        words += f". The fan{rule}, never runs" if rule else ". There is no fan"
    return f"{words}.", figures


@view(
    "The house with its pipes at one hour",
    [
        Slider("hour", "Hours after six in the morning", "time", 0.0, 30.0 * 3600, 8 * 3600.0,
               steps={"metric": 0.5, "US": 0.5}),
        Slider("count", "Pipes", "count", 0, 20, 6),
        Slider("depth", "Depth", "length", 0.3, 0.9, 0.6, steps={"metric": 0.1, "US": 0.5}),
        Choice("when", "Time", tuple(DAYS), "july", labels=DAYS),
        Toggle("vents", "Vents", True),
        Toggle("shade", "Shade cloth over the panes", False),
    ],
)  # fmt: skip
def house(hour, count, depth, when, vents, shade, *, units):
    """Draw the house in section with its pipes and all that flows at one hour."""
    course = course_of(when, count, depth=depth, starts=22.0, vents=vents, shade=shade)
    start = course.weather.time[-1] - (LAST - FIRST) * 3600
    at = min(hour + start, course.time[-1])
    k = min(int(at / course.step), len(course.time) - 1)
    flows = flows_of_hour(course, at)
    drawn = course.weather.global_horizontal[int(at / 900)] < course.house.curtain.sun_limit
    section = section_of(course.house, curtain=bool(drawn))
    stores = stores_of(course.house, {n: float(v[k]) for n, v in course.stores.items() if n != "pipes"}, full=50.0)
    case = {"inside": float(course.air[k]), "outside": float(course.outside[k]), "units": units}
    drawing = cutaway.cutaway(section, flows, stores, **case, full_scale=12000.0)
    piped = sum(flow.watts for flow in flows if flow.place == "pipes")
    minutes = round((FIRST + hour / 3600) * 60) % 1440
    words = f"At {minutes // 60:02d}:{minutes % 60:02d} the air has {_show(case['inside'], 'temperature', units)}"
    figures = {"air inside": _show(case["inside"], "temperature", units),
               "outside": _show(case["outside"], "temperature", units)}  # fmt: skip
    if count:
        ring = _show(float(course.layers["pipes"][0][k]), "temperature", units)
        words += f" and the soil at the pipes {ring}"
        figures["soil at the pipes"] = ring
    words += f"; the pipes take {cutaway.watts_text(piped, units)}." if piped > 1 else "; the fan stands still."
    words = words.replace("the pipes take", "the pipes bring") if piped < -1 else words
    out = sum(flow.watts for flow in flows if flow.place == "leaks")
    figures["out by leaks and vents"] = cutaway.watts_text(out, units)
    return Picture(drawing, words, f"{cutaway.cutaway_words(section, flows, stores, **case)} {words}", figures)


def measures():
    """Return hottest air in July, measure upon measure: closed, vents, shade, door, pipes; and outside [°C]."""
    steps = {
        "closed": {"count": 0, "vents": False},
        "vents": {"count": 0},
        "and shade cloth": {"count": 0, "shade": True},
        "and the door open": {"count": 0, "shade": True, "door": True},
        "and buried pipes": {"starts": 22.0, "shade": True, "door": True},
        "closed, with buried pipes alone": {"starts": 22.0, "vents": False},
    }
    found = {name: hottest(course_of("july", **step)) for name, step in steps.items()}
    return found | {"outside": float(weather_of("july").temperature.max())}


def cold_nights():
    """Return the coldest air of the design night with the fan off, and with a second switch for the cold [°C]."""
    off, on = course_of("january"), course_of("january", below=COLD)
    return {"off, as the club has it": _coldest(off), "on in the cold too": _coldest(on)}


def most_heat(when):
    """Return the most that the soil takes from the pipes' air in the shown hours, vents and all as the house is [W]."""
    course = course_of(when, starts=22.0)
    return float(course.exchange["pipes"][_hours(course) >= FIRST].max())


def floor_soil():
    """Return the soil under the middle of the house on the design night, in the layer where the pipes lie [°C]."""
    course = course_of("january")
    return float(course.layers["floor"][3][-1])


def bed_pace():
    """Return the time in which the pipes' soil, left alone, passes 63 % of its lead on to the ground round it [s].

    Only what joins the bed to the ground counts, not the way within the bed.
    """
    column = nodes.pipe_column(demo_house(9))
    ways = column.to_deep + sum(link[-1] for link in nodes.links(demo_house(9)))
    return float(sum(column.capacity) / ways)
