"""Views of lesson 8: a day and a night hour by hour, the house at one hour, and a logged night beside the model."""

from dataclasses import replace
from functools import lru_cache

import numpy as np

from heatlib.classroom import charts, cutaway
from heatlib.classroom.house_hours import flows_of_hour
from heatlib.classroom.house_section import section_of, stores_of
from heatlib.classroom.picture import Picture
from heatlib.classroom.view import Choice, Slider, Toggle, view
from heatlib.house import fabric
from heatlib.house.balance import run
from heatlib.house.compared import compare_cooling
from heatlib.house.demo import DESIGN_NIGHT, demo_house
from heatlib.house.logger import read_logger
from heatlib.house.made_up import made_up_log
from heatlib.house.measured import fit_cooling
from heatlib.house.recorded import weather_from_record
from heatlib.house.suspects import suspects
from heatlib.house.weather import design_night
from heatlib.storage import heat_capacity
from heatlib.surfaces import barrel_surface
from heatlib.units import format_quantity, to_display, unit_of

__all__ = [
    "NIGHT", "VESSELS", "clear_day_covered_night", "clock_words", "coldest", "coldest_air", "course_of",
    "curtain_opens", "hour", "in_vessels", "judge", "logged", "measure", "night", "other_models", "the_night",
    "the_record", "the_weather", "under_skies", "vessel_skin", "with_water",
]  # fmt: skip

DRUM = 0.208
VESSELS = {"tank": "one big tank", "drums": "drums", "pails": "pails", "bottles": "bottles"}
"""What the same water stands in."""
_PAIL, _BOTTLE = (0.020, 0.300, 0.283), (0.0015, 0.090, 0.236)
"""Volume [m³], diameter and height [m] of one; ordinary sizes."""
FIRST, LAST = 6.0, 36.0
"""Hours of the clock that are shown: from six in the morning of the day to noon after the night [h]."""
NIGHT = ("2025-01-20T18:00", "2025-01-21T07:00")
"""Hours of the made-up log that are compared: no sun, the curtain drawn [date and time]."""
AJAR = 4.0
"""How many times the described leaks the house of the made-up log has [–]."""


@lru_cache
def the_night(cloud=0.0):
    """Return the design night of the demo house with two days before it, under a sky of this much cloud."""
    place = demo_house().place
    return design_night(
        place.latitude, "2025-01-20", minimum=DESIGN_NIGHT["coldest"], maximum=DESIGN_NIGHT["warmest"], cloud=cloud,
        snow=True, longitude=place.longitude, utc_offset=place.utc_offset, elevation=place.elevation,
    )  # fmt: skip


@lru_cache(maxsize=64)
def _gains(cloud):
    return fabric.gains(demo_house(8), the_night(cloud))


def vessel_skin(vessel, volume):
    """Give number, diameter, height and the whole skin of vessels that hold this much water [–, m, m, m²]."""
    if vessel == "drums":
        drum = demo_house(8).store("drums")
        count, wide, high = volume / DRUM, drum.diameter, drum.height
    elif vessel == "tank":
        # as tall as wide
        count, wide = 1.0, (4 * volume / np.pi) ** (1 / 3)
        high = wide
    else:
        one, wide, high = _PAIL if vessel == "pails" else _BOTTLE
        count = volume / one
    return count, float(wide), float(high), float(count * barrel_surface(wide, high))


def with_water(house, drums, vessel="drums", gap=0.15):
    """Return the house with the water of so many drums in vessels of this kind; they catch the sun that drums did."""
    if not drums:
        return house.changed("stores.drums.count", 0)
    if vessel == "drums":
        return house.changed(**{"stores.drums.count": drums, "stores.drums.gap": gap})
    _, wide, high, skin = vessel_skin(vessel, drums * DRUM)
    water = {"count": 1, "volume": drums * DRUM, "surface": skin, "diameter": wide, "height": high, "gap": None}
    return house.changed(**{f"stores.drums.{name}": value for name, value in water.items()})


@lru_cache(maxsize=256)
def course_of(drums=9, vessel="drums", gap=0.15, leaks=None, cloud=0.0, bed=True):
    """Run the demo house through its design night; ``leaks`` are air changes an hour, those of lesson 8 left out."""
    house = with_water(demo_house(8), drums, vessel, gap)
    if leaks is not None:
        house = house.changed("air.air_change_rate", leaks)
    if not bed:
        house = house.changed("stores.bed.count", 0)
    return run(house, the_night(cloud), gains=_gains(cloud))


def _hours(course):
    """Hours of the clock, counted on from the midnight before the design day [h]."""
    return (course.time - (course.weather.time[-1] - LAST * 3600)) / 3600


def coldest(course):
    """Return the index of the coldest moment of the shown night."""
    hours = _hours(course)
    shown = np.flatnonzero(hours >= FIRST + 6)
    return int(shown[course.air[shown].argmin()])


def clock_words(hour):
    """Write an hour of the clock, such as 08:25."""
    minutes = round(hour * 60 / 5) * 5 % 1440
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def _show(value, quantity, units, digits=None):
    return format_quantity(value, quantity, units, digits=digits)


def _degrees(values, units):
    return tuple(float(v) for v in to_display(np.asarray(values, float), "temperature", units))


def _clock_axis():
    names = tuple((h, "midnight" if h == 24 else f"{h % 24:02d}:00") for h in (6, 12, 18, 24, 30, 36))
    return charts.Axis("time of day", FIRST, LAST, names)


def _degree_axis(low, high, units):
    ends = _degrees((low, high), units)
    step = 10 if units == "metric" else 20
    return charts.Axis(f"temperature, {unit_of('temperature', units).label}", step * np.floor(ends[0] / step),
                       step * np.ceil(ends[1] / step))  # fmt: skip


@view(
    "A day and a night, hour by hour",
    [
        Slider("drums", "Drums' worth of water", "count", 0, 40, 9),
        Choice("vessel", "The water stands in", tuple(VESSELS), "drums", labels=VESSELS),
        Slider("gap", "Gap between drums", "length", 0.0, 0.6, 0.15, steps={"metric": 0.05, "US": 0.25}),
        Slider("leaks", "Air changes", "air_change_rate", 0.1, 4.0, demo_house(8).air.air_change_rate,
               steps={"metric": 0.05, "US": 0.05}),
        Slider("cloud", "Sky covered, day and night", "share", 0.0, 1.0, 0.0, steps={"metric": 10, "US": 10}),
        Toggle("bed", "Bed in baskets of stone", True),
    ],
)  # fmt: skip
def night(drums, vessel, gap, leaks, cloud, bed, *, units):
    """Draw the temperatures of a clear cold day and its night."""
    course = course_of(drums, vessel, gap, leaks, cloud, bed)
    limit, hours = course.house.limits.minimum, _hours(course)
    shown = np.flatnonzero(hours >= FIRST)[::3]
    names = {"drums": f"water in {VESSELS[vessel]}", "bed": "bed"}
    rows = [("air", course.air, 1)]
    rows += [(names[name], course.stores[name], style) for name, style in (("drums", 0), ("bed", 2))
             if name in course.stores]  # fmt: skip
    rows.append(("outside", course.outside, 4))
    lines = [charts.Line(name, tuple(hours[shown]), _degrees(values[shown], units), style)
             for name, values, style in rows]  # fmt: skip
    crop = (_degrees([limit], units)[0], f"limit {_show(limit, 'temperature', units)}")
    drawing = charts.course(lines, _clock_axis(), _degree_axis(-25.0, 40.0, units), crop_limit=crop)
    words, numbers = _night_words(course, vessel, limit, units)
    ends = ", ".join(
        f"{name} between {_show(float(values[shown].min()), 'temperature', units)} and "
        f"{_show(float(values[shown].max()), 'temperature', units)}"
        for name, values, _ in rows
    )
    return Picture(drawing, words, f"Lines from six in the morning to noon of the next day: {ends}. {words}", numbers)


def _night_words(course, vessel, limit, units):
    k, hours = coldest(course), _hours(course)
    air = float(course.air[k])
    below = float(((course.air < limit) & (hours >= FIRST + 6)).sum() * course.step)
    words = f"The coldest moment comes at {clock_words(hours[k])}: the air has {_show(air, 'temperature', units)}"
    numbers = {"coldest air": _show(air, "temperature", units)}
    if "drums" in course.stores:
        water = float(course.stores["drums"][k])
        what = "the water in" if water > -0.05 else "the ice in"
        words += f", {what} the {VESSELS[vessel]} still {_show(water, 'temperature', units)}"
        numbers |= {
            "water at that moment": _show(water, "temperature", units),
            "heat from the water at that moment": cutaway.watts_text(-float(course.exchange["drums"][k]), units),
            "skin of the water": _show(_skin(course.house.store("drums")), "area", units),
        }
    words += "."
    if below:
        words += f" It stays below the limit of the greens for {_long(below)}."
    numbers["time below the limit"] = _long(below) if below else "none"
    return words, numbers


def _long(seconds):
    return f"{round(seconds / 60)} minutes" if seconds < 7200 else f"{seconds / 3600:.1f} hours"


def _skin(store):
    return store.count * (store.surface or float(barrel_surface(store.diameter, store.height)))


@view(
    "The house at one hour",
    [
        Slider("hour", "Hours after six in the morning", "time", 0.0, 30.0 * 3600, 7 * 3600.0,
               steps={"metric": 0.5, "US": 0.5}),
        Slider("drums", "Drums", "count", 0, 18, 9),
        Slider("cloud", "Sky covered, day and night", "share", 0.0, 1.0, 0.0, steps={"metric": 10, "US": 10}),
        Toggle("bed", "Bed in baskets of stone", True),
    ],
)  # fmt: skip
def hour(hour, drums, cloud, bed, *, units):
    """Draw the house in section with what flows at one hour of the day or the night."""
    course = course_of(drums, cloud=cloud, bed=bed)
    when = min(hour + course.weather.time[-1] - (LAST - FIRST) * 3600, course.time[-1])
    k = min(int(when / course.step), len(course.time) - 1)
    clock = FIRST + hour / 3600
    flows = flows_of_hour(course, when)
    temperatures = {name: float(values[k]) for name, values in course.stores.items()}
    drawn = course.weather.global_horizontal[int(when / 900)] < course.house.curtain.sun_limit
    section = section_of(course.house, curtain=bool(drawn))
    # colder than freezing, all of it is ice
    ice = {name: 1.0 for name, degrees in temperatures.items() if name == "drums" and degrees < -0.05}
    stores = stores_of(course.house, temperatures, full=30.0, ice=ice)
    case = {"inside": float(course.air[k]), "outside": float(course.outside[k]), "units": units}
    drawing = cutaway.cutaway(section, flows, stores, **case, full_scale=9000.0)
    kept = sum(flow.watts for flow in flows if flow.place == "stores")
    lost = sum(flow.watts for flow in flows if flow.watts > 0 and flow.place != "stores")
    sun = -sum(flow.watts for flow in flows if flow.place == "sun")
    way = "go into" if kept > 0 else "come out of"
    words = f"At {clock_words(clock)} the house loses {cutaway.watts_text(lost, units)}"
    words += f" and the sun brings {cutaway.watts_text(sun, units)}" if sun > 1 else " and there is no sun"
    words += f": {cutaway.watts_text(kept, units)} {way} stores and floor."
    numbers = {"air inside": _show(case["inside"], "temperature", units)}
    if "drums" in course.stores:
        heat = float(course.exchange["drums"][k])
        what = "ice in the drums" if ice else "water in the drums"
        numbers[what] = _show(temperatures["drums"], "temperature", units)
        numbers["from the air to the drums" if heat > 0 else "from the drums to the air"] = cutaway.watts_text(
            heat, units
        )
    return Picture(drawing, words, f"{cutaway.cutaway_words(section, flows, stores, **case)} {words}", numbers)


@lru_cache
def the_record():
    """Return the made-up log: the invented house with a roof flap that does not close, read every ten minutes."""
    house = demo_house(8)
    leaky = house.changed("air.air_change_rate", AJAR * house.air.air_change_rate)
    return read_logger(made_up_log(leaky, the_night()).encode())[0]


def the_weather(record, cloud=0.0, wind_speed=0.5, dew_point=None):
    """Make weather of a record's outside readings at the demo house's place."""
    place = demo_house().place
    dew = float(np.nanmin(record.column("outside"))) - 2.0 if dew_point is None else dew_point
    return weather_from_record(
        record, place.latitude, cloud=cloud, dew_point=dew, wind_speed=wind_speed, snow=True,
        longitude=place.longitude, utc_offset=place.utc_offset, elevation=place.elevation,
    )  # fmt: skip


@lru_cache
def _logged_case():
    weather = the_weather(the_record())
    return weather, fabric.gains(demo_house(8), weather)


@view(
    "Readings and model: move the line onto the dots",
    [
        Slider("leaks", "Air changes", "air_change_rate", 0.1, 3.0, demo_house(8).air.air_change_rate,
               steps={"metric": 0.05, "US": 0.05}),
        Slider("skin", "Free skin of the drums", "share", 0.2, 1.0, 1.0, steps={"metric": 5, "US": 5}),
        Toggle("curtain", "Curtain drawn at night", True),
    ],
)  # fmt: skip
def logged(leaks, skin, curtain, *, units):
    """Draw a made-up logged night as dots, and what the described house would have done as a line."""
    house, (weather, sun), record = demo_house(8), _logged_case(), the_record()
    changes = {"air.air_change_rate": leaks, "stores.drums.surface": skin * _skin(house.store("drums")) / 9}
    house = house.changed(**changes) if curtain else house.changed(**changes, curtain=None)
    course = run(house, weather, gains=sun)
    first, last = (np.datetime64(when, "s") for when in NIGHT)
    kept = (record.time >= first) & (record.time <= last)
    seconds = (record.time[kept] - weather.start).astype("timedelta64[s]").astype(float)
    hours = (seconds - (weather.time[-1] - LAST * 3600)) / 3600
    modelled, inside = np.interp(seconds, course.time, course.air), record.column("inside")[kept]
    miss = inside - modelled
    off, side = float(np.sqrt(np.mean(miss**2))), float(np.mean(miss))
    lines = [charts.Line("readings (made up)", tuple(hours), _degrees(inside, units), 5),
             charts.Line("the house as described", tuple(hours), _degrees(modelled, units), 0)]  # fmt: skip
    names = tuple((h, "midnight" if h == 24 else f"{h % 24:02d}:00") for h in (18, 21, 24, 27, 30))
    drawing = charts.lines(lines, charts.Axis("time of day", 18, 31, names), _degree_axis(-10.0, 20.0, units))
    far = _show(off, "temperature_difference", units, 2)
    words = f"The line lies {far} off the readings"
    if abs(side) > 0.5 * off and off > 0.3:
        words += ": the readings are colder" if side < 0 else ": the readings are warmer"
    words += f". In the morning the readings say {_show(float(inside[-1]), 'temperature', units)}, the line says "
    words += f"{_show(float(modelled[-1]), 'temperature', units)}."
    description = f"Dots of made-up readings and a line of the model from 18:00 to 07:00. {words}"
    return Picture(drawing, words, description, {"off the readings": far})


@lru_cache
def clear_day_covered_night():
    """Run the demo house through clear days and a last night that clouds over at sunset."""
    weather = the_night()
    sunset = weather.time >= weather.time[-1] - (LAST - 17) * 3600
    covered = replace(weather, cloud=np.where(sunset, 1.0, 0.0))
    return run(demo_house(8), covered, gains=_gains(0.0))


def judge(house, record, weather, night):
    """Fit a logged night, set it beside the model of the house, and try what may be wrong.

    Parameters
    ----------
    house : Greenhouse
        The house as described [SI inside].
    record : Record
        The log [°C].
    weather : Weather
        The outside, from :func:`the_weather` [°C].
    night : (str, str)
        First and last hour without sun and heat [date and time].

    Returns
    -------
    tuple
        Fit, comparison, and suspects with the nearest first [1/h, –, K].
    """
    return (
        fit_cooling(record, *night),
        compare_cooling(house, record, weather, *night),
        suspects(house, record, weather, *night),
    )


def coldest_air(course):
    """Return the lowest temperature of the air in the shown night [°C]."""
    return float(course.air[coldest(course)])


def under_skies():
    """Return the coldest air of the demo house under three skies, by name [°C]."""
    courses = {
        "clear day, clear night": course_of(),
        "clear day, covered night": clear_day_covered_night(),
        "covered days, covered night": course_of(cloud=1.0),
    }
    return {name: coldest_air(course) for name, course in courses.items()}


def in_vessels():
    """Set the same water in each vessel beside more drums, and beside more water behind the same skin.

    Returns
    -------
    dict
        By name: coldest air, the water at that moment, and heat for each degree over skin, which divided by a surface
        coefficient is the time in which 63 % of the lead is gone [°C, °C, J/K·m²].
    """
    courses = {words: course_of(9, vessel) for vessel, words in VESSELS.items()} | {"eleven drums": course_of(11)}
    drum = demo_house(8).store("drums")
    doubled = {"stores.drums.volume": 2 * drum.volume, "stores.drums.surface": _skin(drum) / drum.count}
    twice = run(demo_house(8).changed(**doubled), the_night(), gains=_gains(0.0))
    courses["drums, twice the water in the same skin"] = twice
    rows = {}
    for name, course in courses.items():
        store = course.house.store("drums")
        slow = heat_capacity("water") * store.count * store.volume / _skin(store)
        rows[name] = coldest_air(course), float(course.stores["drums"][coldest(course)]), slow
    return rows


def measure():
    """Return by how much each part of the lesson's measure lifts the coldest air [K]."""
    touching, apart, bed = course_of(9, gap=0.0, bed=False), course_of(9, bed=False), course_of(9)
    return {
        "drums set apart": coldest_air(apart) - coldest_air(touching),
        "bed in baskets of stone": coldest_air(bed) - coldest_air(apart),
    }


def curtain_opens(*hours):
    """Return the coldest air where the curtain opens by the clock and lets no sun through while drawn, by time [°C]."""
    weather, sun, found = the_night(), _gains(0.0), {}
    for opens in hours:
        rule = {"curtain.rule": "clock", "curtain.opens": opens, "curtain.closes": 16.5, "curtain.light": 0.0}
        found[clock_words(opens)] = coldest_air(run(demo_house(8).changed(**rule), weather, gains=sun))
    return found


def other_models():
    """Return the coldest air with one thing in the model changed at a time [°C]."""
    house, weather, sun = demo_house(8), the_night(), _gains(0.0)
    courses = {
        "as it is": run(house, weather, gains=sun),
        "no vapour from plants and soil": run(house.changed("plants.area", 0.0), weather, gains=sun),
        "drums of bare shiny steel": run(house.changed("stores.drums.emissivity", 0.2), weather, gains=sun),
        "one step an hour": run(house, weather, 3600.0, gains=sun),
    }
    return {name: coldest_air(course) for name, course in courses.items()}
