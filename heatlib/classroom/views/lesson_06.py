"""Views of lesson 6: what the floor and its edge lose, the soil through the year, and the floor as a store at night."""

from datetime import date, timedelta
from functools import lru_cache

from heatlib._check import choice
from heatlib.classroom import charts
from heatlib.classroom import svg as s
from heatlib.classroom.charts import Axis, Line
from heatlib.classroom.cutaway import cutaway, cutaway_words
from heatlib.classroom.house_section import flows_of_bill, section_of, stores_of
from heatlib.classroom.picture import Picture
from heatlib.classroom.view import Choice, Slider, view
from heatlib.ground import damping_depth, soil_diffusivity, soil_temperature, wave_lag
from heatlib.house import fabric
from heatlib.house.balance import run
from heatlib.house.bill import loss_bill
from heatlib.house.demo import DESIGN_NIGHT, demo_house
from heatlib.house.greenhouse import Layer
from heatlib.house.weather import design_night
from heatlib.units import format_quantity, to_display, unit_of

__all__ = [
    "FLOORS",
    "SOILS",
    "bare_house",
    "coldest_air",
    "date_words",
    "edge_sketch",
    "floor_and_edge",
    "floor_house",
    "floor_loss",
    "night_of",
    "night_on_the_floor",
    "soil_year",
]

HOUSE_BEFORE = 5
"""Lesson after which the house of this lesson stands."""
GRAVEL, FOAM, SLAB, BOARDS = 0.075, 0.05, 0.1, 0.025
"""Thicknesses of the floors' layers where the reader does not move them [m]."""
FLOORS = {
    "soil": "bare soil",
    "gravel": "gravel on soil",
    "gravel_foam": "gravel on foam",
    "slab_foam": "concrete slab on foam",
    "boards_foam": "boards on foam",
}
SOILS = {"soil_dry": "dry garden soil", "soil_moist": "moist garden soil", "soil_wet": "soaked garden soil"}
_TOPS = {"gravel": ("gravel", GRAVEL), "slab": ("concrete", SLAB), "boards": ("softwood", BOARDS)}
DATE = "2025-01-20"
STEP = 600.0


def floor_house(floor="soil", foam=FOAM, edge_depth=0.0, edge_r_value=1.4):
    """Return the demo house of this lesson with a floor built up and foam down its edge.

    Parameters
    ----------
    floor : str
        A key of :data:`FLOORS` [text].
    foam : float
        Thickness of the foam under the floor, where it has some [m].
    edge_depth, edge_r_value : float
        Foam down the footing: how deep, and its R-value [m, m²K/W].

    Returns
    -------
    Greenhouse
        The house [SI].
    """
    top, *under = choice("floor", floor, FLOORS).split("_")
    layers = [Layer(*_TOPS[top])] if top in _TOPS else []
    if under:
        layers.append(Layer("eps", foam))
    changes = {"floor.layers": tuple(layers), "floor.edge_depth": edge_depth, "floor.edge_r_value": edge_r_value}
    return demo_house(after_lesson=HOUSE_BEFORE).changed(**changes)


def floor_loss(floor, edge_depth=0.6):
    """Return what the floor of the house loses at its edge and in its middle on the design night.

    Parameters
    ----------
    floor : str
        A key of :data:`FLOORS` [text].
    edge_depth : float
        Depth of the foam down the edge [m].

    Returns
    -------
    float
        Heat lost by the floor [W].
    """
    bill = loss_bill(floor_house(floor, edge_depth=edge_depth), 2.0, DESIGN_NIGHT["coldest"])
    return bill.watts("edge") + bill.watts("ground")


def bare_house(units):
    """Draw the house of this lesson before anything is done to its floor, without its heat paths.

    Parameters
    ----------
    units : str
        ``"metric"`` or ``"US"`` [text].

    Returns
    -------
    Picture
        The drawing [–].
    """
    house, inside = floor_house(), demo_house().limits.minimum
    air = {"inside": inside, "outside": DESIGN_NIGHT["coldest"], "units": units}
    section, stores = section_of(house), stores_of(house, {"drums": inside})
    area, edge = (
        format_quantity(v, q, units) for v, q in ((house.floor.area, "area"), (house.floor.perimeter, "length"))
    )
    sentence = f"The house stands on {area} of bare soil. The edge of that floor is {edge} long."
    svg = cutaway(section, (), stores, **air)
    return Picture(svg, sentence, cutaway_words(section, (), stores, **air), {"floor": area, "edge of the floor": edge})


@view(
    "The floor and its edge on the design night",
    [
        Slider("edge_depth", "Foam down the edge to a depth of", "length", 0.0, 1.2, 0.6, {"metric": 0.05, "US": 0.1}),
        Slider("edge_r_value", "R-value of that foam", "r_value", 0.35, 3.5, 1.4, {"metric": 0.05, "US": 0.2}),
        Choice("floor", "The floor", FLOORS, "soil", FLOORS),
        Slider("inside", "Temperature inside", "temperature", 0.0, 18.0, 2.0, {"metric": 0.5, "US": 1}),
    ],
)
def floor_and_edge(edge_depth, edge_r_value, floor, inside, units):
    """Draw the house with what its floor loses at the edge and loses or gains in the middle."""
    house = floor_house(floor, edge_depth=edge_depth, edge_r_value=edge_r_value)
    outside = DESIGN_NIGHT["coldest"]
    bill, bare = loss_bill(house, inside, outside), loss_bill(floor_house(floor), inside, outside)
    section, flows = section_of(house), flows_of_bill(house, bill, {"edge", "floor"})
    air = {"inside": inside, "outside": outside, "units": units}
    stores = stores_of(house, {"drums": inside})
    svg = cutaway(section, flows, stores, full_scale=1600.0, **air)
    numbers = _floor_numbers(bill, bare, units)
    words = cutaway_words(section, flows, stores, **air)
    return Picture(svg, _floor_sentence(bill, inside, outside, units), words, numbers)


def _watts(watts, units):
    return format_quantity(watts, "heat_flow", units, digits=3 if abs(watts) >= 100 else 2)


def _floor_sentence(bill, inside, outside, units):
    warm, cold = (format_quantity(t, "temperature", units, digits=2) for t in (inside, outside))
    edge, deep = bill.watts("edge"), bill.watts("ground")
    middle = f"takes {_watts(deep, units)}" if deep > 0 else f"gives {_watts(-deep, units)} back"
    return (
        f"With {warm} inside and {cold} outside the edge of the floor takes {_watts(edge, units)}, "
        f"and the deep ground {middle}: together {(edge + deep) / bill.total:.0%} of all that the house loses."
    )


def _floor_numbers(bill, bare, units):
    saved = bare.total - bill.total
    return {
        "lost at the edge": _watts(bill.watts("edge"), units),
        "lost into the deep ground (− comes out of it)": _watts(bill.watts("ground"), units),
        "lost by the whole house": _watts(bill.total, units),
        "saved by the foam down the edge": _watts(saved, units),
    }


def edge_sketch(units):
    """Draw the rim of a floor three times for the printed sheet: bare, with foam down, with foam laid flat.

    Parameters
    ----------
    units : str
        ``"metric"`` or ``"US"`` [text].

    Returns
    -------
    Picture
        The drawing [–].
    """
    ways = {"no foam": (0.0, 0.0), "foam down": (0.0, 0.6096), "foam flat": (1.2192, 0.0)}
    pieces, said = [], []
    for index, (name, (flat, down)) in enumerate(ways.items()):
        wall, ground = 32 + 142 * index, 76
        length = format_quantity(max(flat, down), "length", units, digits=2) if flat + down else "at all"
        pieces += [
            s.rect(wall - 26, ground, 128, 84, "soil", "ink"),
            s.rect(wall, 14, 7, ground - 14, "wood", "ink"),
            s.rect(wall - 9, ground, 9, 50, "foam", "ink", 1.5) if down else "",
            s.rect(wall + 7, ground + 8, 90, 9, "foam", "ink", 1.5) if flat else "",
            s.text(wall + 58, 46, "inside", 15, "middle"),
            s.text(wall + 38, 182, name, 16, "middle", bold=True),
            s.text(wall + 38, 202, length, 16, "middle"),
        ]
        said.append(f"{name}, {length}")
    sentence = f"Three rims of a floor: {'; '.join(said)}."
    words = f"{sentence} Each shows the wall, the soil under it and the foam from the side."
    return Picture(s.document(426, 212, *pieces), sentence, words, {})


def date_words(day):
    """Write a day of the year as a date, such as ``"4 February"``.

    Parameters
    ----------
    day : float
        Day of the year, 1 to 365 [day].

    Returns
    -------
    str
        The date [text].

    Examples
    --------
    >>> date_words(35)
    '4 February'
    """
    when = date(2025, 1, 1) + timedelta(days=round(day) - 1)
    return f"{when.day} {when:%B}"


MONTHS = tuple((sum((31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30)[:m]) + 15.5, "JFMAMJJASOND"[m]) for m in range(12))


@view(
    "The soil through the year",
    [
        Slider("depth", "Depth under open ground", "length", 0.0, 5.0, 2.0, {"metric": 0.1, "US": 0.5}),
        Slider("day", "Day of the year", "count", 1, 365, 15),
        Choice("soil", "Soil", SOILS, "soil_moist", SOILS),
    ],
)
def soil_year(depth, day, soil, units):
    """Draw the temperature of the soil over the year at the surface and at a depth."""
    place = demo_house().place
    ground = (place.ground_mean, place.ground_swing, place.coldest_day, soil_diffusivity(soil))
    days = (*range(1, 366, 4), 365)

    def year(z):
        return tuple(to_display(soil_temperature(z, d, *ground), "temperature", units) for d in days)

    now = soil_temperature(depth, day, *ground)
    shown, deep = format_quantity(now, "temperature", units), format_quantity(depth, "length", units, digits=2)
    up = Axis(f"temperature of the soil, {unit_of('temperature', units).label}",
              *(to_display(t, "temperature", units) for t in (-10.0, 25.0)))  # fmt: skip
    rows = (Line("surface", days, year(0.0), 4), Line(f"{deep} down", days, year(depth), 0))
    svg = charts.lines(
        rows, Axis("month", 1, 365, MONTHS), up,
        point=(day, to_display(now, "temperature", units), f"{shown} on {date_words(day)}"),
        limit=(to_display(0.0, "temperature", units), "freezing"),
    )  # fmt: skip
    return _soil_picture(svg, depth, day, ground, (shown, deep, SOILS[soil]), units)


def _soil_picture(svg, depth, day, ground, words, units):
    coldest, diffusivity = ground[2:]
    shown, deep, soil = words
    late = wave_lag(depth, diffusivity) / 86400
    latest = (coldest + late - 1) % 365 + 1
    least, most = (format_quantity(soil_temperature(depth, d, *ground), "temperature", units)
                   for d in (coldest + late, coldest + late + 182.6))  # fmt: skip
    surface = format_quantity(soil_temperature(0.0, day, *ground), "temperature", units)
    sentence = (
        f"On {date_words(day)} the soil {deep} down has {shown}, the surface {surface}. Down there it is coldest about "
        f"{date_words(latest)}, {late:.0f} day{'' if round(late) == 1 else 's'} after the surface, and swings between "
        f"{least} and {most}."
    )
    if depth == 0:
        sentence = (
            f"On {date_words(day)} the surface of the soil has {shown}. It is coldest about {date_words(latest)} and "
            f"swings between {least} and {most}."
        )
    scale = format_quantity(damping_depth(diffusivity), "length", units)
    numbers = {"soil now": shown, "days later than the surface": f"{late:.0f}", "damping depth": scale}
    description = f"Two lines over the year in {soil}: the surface and the soil {deep} down. {sentence}"
    return Picture(svg, sentence, description, numbers)


@lru_cache
def _weather(sky):
    place = demo_house().place
    more = {"longitude": place.longitude, "utc_offset": place.utc_offset, "elevation": place.elevation}
    temperatures = {"minimum": DESIGN_NIGHT["coldest"], "maximum": DESIGN_NIGHT["warmest"]}
    cloud = {"clear": 0.0, "covered": 0.9}[sky]
    return design_night(
        place.latitude, DATE, **temperatures, cloud=cloud, days_before=2, snow=True, step=1800.0, **more
    )


@lru_cache
def _gains(sky):
    return fabric.gains(floor_house(), _weather(sky))


@lru_cache(maxsize=400)
def night_of(floor="soil", foam=FOAM, edge_depth=0.6, sky="clear"):
    """Run the house, unheated, through the design night and the two days before it.

    Parameters
    ----------
    floor : str
        A key of :data:`FLOORS` [text].
    foam : float
        Thickness of the foam under the floor [m].
    edge_depth : float
        Depth of the foam down the edge [m].
    sky : str
        ``"clear"`` or ``"covered"`` [text].

    Returns
    -------
    Course
        The course [SI].
    """
    return run(floor_house(floor, foam, edge_depth), _weather(sky), STEP, gains=_gains(sky))


_LAST_DAY = slice(-int(24 * 3600 / STEP), None)
"""The hours from the noon before the design night to the noon after it."""


def coldest_air(floor="soil", foam=FOAM, edge_depth=0.6, sky="clear"):
    """Return the lowest air temperature of the design night, with the arguments of :func:`night_of`.

    Parameters
    ----------
    floor : str
        A key of :data:`FLOORS` [text].
    foam, edge_depth : float
        Thickness of the foam under the floor and depth of that down the edge [m].
    sky : str
        ``"clear"`` or ``"covered"`` [text].

    Returns
    -------
    float
        Temperature [°C].
    """
    return float(night_of(floor, foam, edge_depth, sky).air[_LAST_DAY].min())


@view(
    "The floor as a store on the design night",
    [
        Choice("floor", "The floor", FLOORS, "gravel_foam", FLOORS),
        Slider("foam", "Foam under the floor", "thickness", 0.01, 0.15, FOAM, {"metric": 5, "US": 0.25}),
        Slider("edge_depth", "Foam down the edge to a depth of", "length", 0.0, 1.2, 0.6, {"metric": 0.05, "US": 0.1}),
        Choice("sky", "Sky of the days before and of the night", ("clear", "covered"), "clear"),
    ],
)
def night_on_the_floor(floor, foam, edge_depth, sky, units):
    """Draw a day and the design night without a heater, beside the same house on bare soil."""
    course, bare = night_of(floor, foam, edge_depth, sky), night_of("soil", FOAM, edge_depth, sky)
    last = _LAST_DAY
    hours = tuple(float(t) for t in (course.time[last] - course.time[last][0]) / 3600)

    def line(name, values, style):
        return Line(name, hours, tuple(float(to_display(v, "temperature", units)) for v in values[last]), style)

    rows = [line("air", course.air, 1), line("outside", course.outside, 4)]
    if floor != "soil":
        rows.append(line("air over bare soil", bare.air, 0))
    limit, unit = demo_house().limits.minimum, unit_of("temperature", units).label
    ends = (to_display(t, "temperature", units) for t in (-25.0, 25.0))
    clock = tuple((h, f"{(h + 12) % 24:02d}:00") for h in range(0, 25, 4))
    words = f"crop's limit {format_quantity(limit, 'temperature', units, digits=2)}"
    svg = charts.course(
        rows, Axis("time of day", 0, 24, clock), Axis(f"temperature, {unit}", *ends),
        crop_limit=(to_display(limit, "temperature", units), words),
    )  # fmt: skip
    return _night_picture(svg, (floor, sky), course, bare, last, units)


def _night_picture(svg, names, course, bare, last, units):
    floor, sky = names
    low, plain = (_tenths(one.air[last].min(), units) for one in (course, bare))

    def show(shown):
        return f"{shown:.1f} {unit_of('temperature', units).label}".replace("-", "−")

    if floor == "soil":
        other = "This is the bare soil that the other floors are held against."
    elif low == plain:
        other = "Over bare soil it falls just as low."
    else:
        way = "warmer" if low > plain else "colder"
        other = f"Over bare soil it falls to {show(plain)}: this floor is {show(abs(low - plain))} {way}."
    sentence = f"With {FLOORS[floor]} under a {sky} sky the air falls to {show(low)} without a heater. {other}"
    warmest = course.air[-int(36 * 3600 / STEP) :].max()
    numbers = {
        "lowest air": show(low),
        "lowest air over bare soil": show(plain),
        "warmest air by day": show(_tenths(warmest, units)),
        "warmest face of the floor": show(_tenths(course.floor[-int(36 * 3600 / STEP) :].max(), units)),
    }
    description = f"Lines from noon to noon: air inside and outside, and air over bare soil. {sentence}"
    return Picture(svg, sentence, description, numbers)


def _tenths(temperature, units):
    """Round in the reader's unit, so that two shown numbers differ by the shown difference."""
    return round(float(to_display(temperature, "temperature", units)), 1) + 0.0
