"""Views of lesson 7: sun through one pane by month, through the whole house, and where its heat lands."""

from dataclasses import replace
from functools import lru_cache

import numpy as np

from heatlib._check import choice
from heatlib.classroom import charts
from heatlib.classroom import svg as s
from heatlib.classroom.charts import Axis, Line
from heatlib.classroom.cutaway import cutaway, cutaway_words
from heatlib.classroom.house_section import section_of, stores_of
from heatlib.classroom.picture import Picture
from heatlib.classroom.sunlit import sunlit_section
from heatlib.classroom.view import Choice, Slider, view
from heatlib.house import fabric
from heatlib.house.balance import run
from heatlib.house.demo import DESIGN_NIGHT, demo_house
from heatlib.house.greenhouse import COMPASS, Shade, Store
from heatlib.house.nodes import sun_shares
from heatlib.house.weather import design_day, design_night
from heatlib.shade import Tree, leafage, tree_light, tree_transmittance
from heatlib.sun import Sky, SunPosition, clear_day, cloudy_sky, pane_irradiance
from heatlib.tables import entry
from heatlib.transmission import glazing_kind, solar_property, sun_through
from heatlib.units import format_quantity, to_display, unit_of

__all__ = [
    "CATCHERS",
    "GROUNDS",
    "TREES",
    "coldest_after",
    "house_before",
    "house_sun",
    "pane_by_month",
    "pane_sun",
    "stick_sketch",
    "summer_peak",
    "sun_in_the_house",
    "where_it_lands",
    "winter_night",
]

HOUSE_BEFORE = 6
"""Lesson after which the house of this lesson stands."""
MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip
STEP = 900.0
FACING = ("east", "south-east", "south", "south-west", "west", "north")
GLAZINGS = {
    "glass_single": "one pane of glass",
    "glass_and_film": "glass and film",
    "polycarbonate_twin_8": "twin-wall sheet",
    "polycarbonate_triple_16": "triple-wall sheet",
    "film_double": "two films",
}
GROUNDS = {
    "soil_dark_wet": "dark wet soil", "grass": "grass", "white_stones": "white stones",
    "snow_dirty": "dirty snow", "snow_old": "old snow", "snow_fresh": "fresh snow",
}  # fmt: skip
TREES = {
    "none": None,
    "south": Tree(direction=180.0, distance=12.0, height=10.0, crown_base=1.0, crown_width=8.0),
    "west": Tree(direction=255.0, distance=10.0, height=10.0, crown_base=1.0, crown_width=8.0),
}
"""Trees of the invented scenario; heights count from the middle of the panes."""
CATCHERS = {
    "drums_black": ("drums", "black_paint", "black drums"),
    "drums_dark": ("drums", "dark_barrel_blue", "dark blue drums"),
    "drums_light": ("drums", "light_barrel_blue", "light blue drums"),
    "drums_white": ("drums", "white_barrel", "white drums"),
    "wall_black": ("wall", "black_paint", "a black brick wall"),
    "wall_white": ("wall", "white_paint", "a white brick wall"),
}
"""What the sun inside may meet first: which store, its paint, and its words."""
_CATCHER_WORDS = {key: words for key, (_, _, words) in CATCHERS.items()}
BRICKS = Store("wall", "bed", 1.08, material="brick", surface=10.8, layers=3)
"""A wall of bricks 10 cm thick along the whole back of the house; its far side is insulated."""


def house_before(units):
    """Draw the house of this lesson on the design night, without its heat paths.

    Parameters
    ----------
    units : str
        ``"metric"`` or ``"US"`` [text].

    Returns
    -------
    Picture
        The drawing [–].
    """
    house = demo_house(after_lesson=HOUSE_BEFORE)
    air = {"inside": house.limits.minimum, "outside": DESIGN_NIGHT["coldest"], "units": units}
    section, stores = section_of(house), stores_of(house, {"drums": house.limits.minimum})
    south = sum(one.area for one in house.surfaces if one.glazing and one.facing == COMPASS["south"])
    ends = sum(one.area for one in house.surfaces if one.glazing) - south
    areas = [format_quantity(area, "area", units) for area in (south, ends)]
    sentence = f"{areas[0]} of panes look south, {areas[1]} look east and west."
    words = cutaway_words(section, (), stores, **air)
    numbers = {"panes to the south": areas[0], "panes in the ends": areas[1]}
    return Picture(cutaway(section, (), stores, **air), sentence, f"{words} {sentence}", numbers)


def stick_sketch(units):
    """Draw a stick and its shadow for the printed sheet: how the height of the sun is found without looking at it.

    Parameters
    ----------
    units : str
        ``"metric"`` or ``"US"``; the drawing has no lengths [text].

    Returns
    -------
    Picture
        The drawing [–].
    """
    tip, foot, top = (70, 176), (310, 176), (310, 56)
    dx, dy = foot[0] - tip[0], foot[1] - top[1]
    arc = [(tip[0] + 62 * np.cos(a), tip[1] - 62 * np.sin(a)) for a in np.linspace(0.0, np.arctan2(dy, dx), 12)]
    pieces = [
        s.line(10, 176, 416, 176, "ink", 2),
        s.line(*foot, *top, "ink", 6),
        s.line(*tip, *foot, "muted", 6),
        s.line(tip[0], tip[1], top[0] + dx * 0.4, top[1] - dy * 0.4, "sun", 2.5, "7 4"),
        s.path(arc, None, "ink", 1.8),
        s.text(322, 124, "stick", 16),
        s.text(190, 200, "shadow", 16, "middle"),
        s.text(142, 160, "height of the sun", 16),
        s.text(316, 171, "90°", 15),
        s.text(404, 22, "from the sun", 16, "end"),
    ]
    sentence = (
        "A stick stands at 90° on level ground; a line from the tip of its shadow over its top points to the sun."
    )
    words = f"{sentence} The angle between that line and the ground is the height of the sun."
    return Picture(s.document(426, 212, *pieces), sentence, words, {})


@lru_cache
def _year():
    """Times, sun and clear sky of the 21st of each month, the months one after the other."""
    place = demo_house().place
    where = (place.latitude, place.longitude, place.utc_offset)
    days = [clear_day(np.datetime64(f"2025-{m:02d}-21"), *where, elevation=place.elevation, step=STEP)
            for m in range(1, 13)]  # fmt: skip

    def joined(position, names):
        return (np.concatenate([getattr(day[position], name)[:-1] for day in days]) for name in names)

    times = np.concatenate([day[0][:-1] for day in days])
    position = SunPosition(*joined(1, ("zenith", "azimuth")))
    sky = Sky(*joined(2, ("beam_normal", "diffuse_horizontal", "global_horizontal", "extraterrestrial")))
    return times, position, sky


def _by_month(watts):
    """Sum of each day, by month, from values of :func:`_year` [J]."""
    return np.asarray(watts).reshape(12, -1).sum(axis=1) * STEP


@lru_cache(maxsize=200)
def pane_sun(facing="south", tilt=90.0, glazing="polycarbonate_twin_8", cloud=0.0, ground="grass"):
    """Return the sun of a day on and through a square metre of pane, by month.

    Parameters
    ----------
    facing : str
        Direction the pane looks to, such as ``"south"`` [text].
    tilt : float
        0 level to 90 upright [°].
    glazing : str
        Row of the table of glazings [text].
    cloud : float
        Share of the sky covered, 0–1 [–].
    ground : str
        A key of :data:`GROUNDS` [text].

    Returns
    -------
    tuple of numpy.ndarray
        On the pane and through it, from January to December, on the 21st [J/m²].
    """
    _, position, clear = _year()
    albedo = solar_property(choice("ground", ground, GROUNDS), "solar_reflectance")
    pane = pane_irradiance(position, cloudy_sky(clear, position, cloud), COMPASS[facing], tilt, albedo)
    straight = entry("glazings", glazing, "solar_transmittance").value
    return _by_month(pane.total), _by_month(sun_through(pane, glazing_kind(glazing), straight, tilt))


@view(
    "Sun through a pane, month by month",
    [
        Slider("month", "Month", "count", 1, 12, 12),
        Choice("facing", "The pane looks", FACING, "south"),
        Slider("tilt", "Tilt: 0 level, 90 upright", "angle", 0.0, 90.0, 90.0, {"metric": 1, "US": 1}),
        Choice("glazing", "Glazing", GLAZINGS, "polycarbonate_twin_8", GLAZINGS),
        Slider("cloud", "Sky covered by cloud", "share", 0.0, 1.0, 0.0, {"metric": 5, "US": 5}),
    ],
)
def pane_by_month(month, facing, tilt, glazing, cloud, units):
    """Draw what strikes a pane and what comes through it on the 21st of each month."""
    unit = unit_of("irradiation", units).label
    on, through = (tuple(to_display(sums, "irradiation", units))
                   for sums in pane_sun(facing, tilt, glazing, cloud))  # fmt: skip
    numbers = tuple(range(1, 13))
    top = to_display(9.0 * 3.6e6, "irradiation", units)
    rows = (Line("on the pane", numbers, on, 4), Line("through it", numbers, through, 3))
    shown = [f"{value:.2f} {unit}" for value in (on[month - 1], through[month - 1], through[(month + 5) % 12])]
    names = tuple((i + 1, name[0]) for i, name in enumerate(MONTHS))
    svg = charts.lines(
        rows, Axis("month", 1, 12, names), Axis(f"sun in a day, {unit}", 0, top),
        point=(month, through[month - 1], f"{shown[1]} in {MONTHS[month - 1]}"),
    )  # fmt: skip
    share = through[month - 1] / on[month - 1]
    weather = "under a clear sky" if cloud == 0 else f"with {cloud:.0%} cloud"
    sentence = (
        f"On a day in {MONTHS[month - 1]} {weather}, a pane that looks {facing} at a tilt of "
        f"{tilt:.0f}° gets {shown[0]} and lets {shown[1]} through. Half a year away, in {MONTHS[(month + 5) % 12]}, "
        f"{shown[2]} come through."
    )
    description = f"Two lines over the months, on the pane and through {GLAZINGS[glazing]}. {sentence}"
    return Picture(svg, sentence, description, {
        "on the pane": shown[0], "through it": shown[1], "let through": f"{share:.0%}",
        "half a year away": shown[2]})  # fmt: skip


@lru_cache(maxsize=400)
def house_sun(cloud=0.0, ground="grass", tree="none"):
    """Return the sun that comes in through each group of panes of the house on the 21st of each month.

    Parameters
    ----------
    cloud : float
        Share of the sky covered, 0–1 [–].
    ground : str
        A key of :data:`GROUNDS`, what lies in front of the panes [text].
    tree : str
        A key of :data:`TREES` [text].

    Returns
    -------
    dict of numpy.ndarray
        From January to December for ``"roof"``, ``"wall"`` (sashes included) and ``"ends"`` [J].
    """
    times, position, clear = _year()
    sky = cloudy_sky(clear, position, cloud)
    albedo = solar_property(choice("ground", ground, GROUNDS), "solar_reflectance")
    light = _light(times, position, choice("tree", tree, TREES))
    groups = {"roof": 0.0, "wall": 0.0, "ends": 0.0}
    for surface in demo_house(after_lesson=HOUSE_BEFORE).surfaces:
        if surface.glazing:
            pane = pane_irradiance(position, sky, surface.facing, surface.tilt, albedo)
            pane = replace(pane, beam=pane.beam * light, circumsolar=pane.circumsolar * light)
            straight = entry("glazings", surface.glazing, "solar_transmittance").value
            kind = glazing_kind(surface.glazing)
            inside = sun_through(pane, kind, straight, surface.tilt, surface.dirt, surface.frame)
            group = "roof" if surface.tilt < 75 else "wall" if surface.facing == COMPASS["south"] else "ends"
            groups[group] = groups[group] + surface.area * _by_month(inside)
    return groups


def _light(times, position, name):
    """Share of the beam that passes the tree; its leaves follow the date."""
    if TREES[name] is None:
        return 1.0
    day = (times.astype("datetime64[D]") - np.datetime64("2025-01-01")).astype(float) + 1
    return tree_light(position, TREES[name], tree_transmittance(leafage(day)))


def _leaves(month):
    return float(leafage(float((np.datetime64(f"2025-{month:02d}-21") - np.datetime64("2025-01-01")).astype(int) + 1)))


def _noon(month):
    """Height of the sun at noon and its directions through the day [°]."""
    _, position, _ = _year()
    part = slice((month - 1) * 96, month * 96)
    height = 90 - position.zenith[part]
    return float(height.max()), [float(a) for a in position.azimuth[part][height > 0]]


@view(
    "Sun into the house on one day",
    [
        Slider("month", "Month", "count", 1, 12, 1),
        Slider("cloud", "Sky covered by cloud", "share", 0.0, 1.0, 0.0, {"metric": 5, "US": 5}),
        Choice("ground", "In front of the panes lies", GROUNDS, "grass", GROUNDS),
        Choice("tree", "Tree", TREES, "none", {"none": "no tree", "south": "to the south", "west": "to the west"}),
    ],
)
def sun_in_the_house(month, cloud, ground, tree, units):
    """Draw the noon sun on the house, and what the panes let in on the whole day."""
    sums = {name: float(by_month[month - 1]) for name, by_month in house_sun(cloud, ground, tree).items()}
    total = sum(sums.values())

    def show(joules):
        return format_quantity(joules, "energy", units)

    height, azimuths = _noon(month)
    glare = solar_property(ground, "solar_reflectance")
    words = {"roof": "South roof", "wall": "South wall, sashes", "ends": "East and west ends"}
    shown_tree = None
    if TREES[tree] is not None:
        leaves = _leaves(month)
        state = "bare" if leaves == 0 else "in full leaf" if leaves == 1 else "half in leaf"
        away = format_quantity(TREES[tree].distance, "length", units, digits=2)
        shown_tree = (TREES[tree].direction, leaves, f"Tree {away} to the {tree}, {state}")
    labels = {
        "head": "Let in on this day",
        "rows": [(words[name], show(joules)) for name, joules in sums.items()],
        "sun": f"noon sun {height:.0f}° high",
        "ground": f"{GROUNDS[ground]} throws back {glare:.0%}",
    }
    section = section_of(demo_house(after_lesson=HOUSE_BEFORE), curtain=False)
    svg = sunlit_section(section, height, azimuths, snow=ground.startswith("snow"), glare=glare, tree=shown_tree,
                         labels=labels)  # fmt: skip
    plain = sum(float(by_month[month - 1]) for by_month in house_sun(cloud, ground, "none").values())
    grass = sum(float(by_month[month - 1]) for by_month in house_sun(cloud, "grass", tree).values())
    parts = ", ".join(f"{words[name]} {show(joules)}" for name, joules in sums.items())
    sentence = (
        f"On this day in {MONTHS[month - 1]} the noon sun stands {height:.0f}° high and the panes let in "
        f"{show(total)}. {_beside(tree, ground, total, plain, grass)}"
    )
    front = ", ".join([GROUNDS[ground], *([shown_tree[2]] if shown_tree else [])])
    description = (
        f"The house in section with the noon sun {height:.0f}° high and {cloud:.0%} of the sky covered. In front: "
        f"{front}. The panes let in: {parts}."
    )
    numbers = {"let in": show(total), "without a tree": show(plain), "with grass in front": show(grass)}
    return Picture(svg, sentence, description, numbers)


def _beside(tree, ground, total, plain, grass):
    """Compare with the same day without the tree, and with grass in front."""
    words = []
    if tree != "none":
        words.append(f"The tree takes {1 - total / plain:.0%}.")
    if ground != "grass":
        more = total / grass - 1
        words.append(f"This ground gives {abs(more):.0%} {'more' if more >= 0 else 'less'} than grass would.")
    return " ".join(words) or "Nothing stands in the way, and grass lies in front."


@lru_cache
def _night_weather(snow):
    place = demo_house().place
    more = {"longitude": place.longitude, "utc_offset": place.utc_offset, "elevation": place.elevation}
    more |= {"days_before": 2, "snow": snow, "step": 1800.0}
    air = {"minimum": DESIGN_NIGHT["coldest"], "maximum": DESIGN_NIGHT["warmest"]}
    return design_night(place.latitude, "2025-01-20", **air, **more)


def _lit_house(ground):
    part = "snow" if choice("ground", ground, GROUNDS).startswith("snow") else "ground"
    return demo_house(after_lesson=HOUSE_BEFORE).changed(f"place.{part}", ground)


@lru_cache
def _night_gains(ground):
    return fabric.gains(_lit_house(ground), _night_weather(ground.startswith("snow")))


@lru_cache(maxsize=400)
def winter_night(catcher="drums_black", struck=0.45, ground="snow_fresh"):
    """Run the unheated house through two clear winter days and the design night.

    Parameters
    ----------
    catcher : str
        A key of :data:`CATCHERS`, what the sun inside meets first; drums behind a wall get none [text].
    struck : float
        Share of the sun inside that meets it, 0–1 [–].
    ground : str
        A key of :data:`GROUNDS`; fresh, old and dirty snow count as snow [text].

    Returns
    -------
    Course
        The course [SI].
    """
    store, paint, _ = CATCHERS[choice("what the sun meets", catcher, CATCHERS)]
    house = _lit_house(ground).changed("stores.drums.sun_share", 0.0)
    if store == "wall":
        house = house.changed("stores", (*house.stores, BRICKS))
    taken = {"sun_share": struck, "absorptance": solar_property(paint, "solar_absorptance")}
    house = house.changed(**{f"stores.{store}.{name}": value for name, value in taken.items()})
    return run(house, _night_weather(ground.startswith("snow")), 600.0, gains=_night_gains(ground))


_LAST_DAY = slice(-144, None)
"""The hours from the noon before the design night to the noon after it."""


@view(
    "Where the sun's heat lands",
    [
        Choice("catcher", "The sun inside meets", CATCHERS, "drums_dark", _CATCHER_WORDS),
        Slider("struck", "Share of the sun that meets it", "share", 0.0, 0.8, 0.15, {"metric": 5, "US": 5}),
        Choice("ground", "In front of the panes lies", GROUNDS, "snow_old", GROUNDS),
    ],
)
def where_it_lands(catcher, struck, ground, units):
    """Draw what stores, floor and air keep of a winter day's sun, and tell the night that follows."""
    course, (store, _, words) = winter_night(catcher, struck, ground), CATCHERS[catcher]
    shares = sun_shares(course.house)
    day = float(course.sun[-216:-72].sum() * course.step)
    names = {"wall": "brick wall", "floor": "floor", "air": "air, by way of boards", "reflected": "out again"}
    names = {"drums": "drums"} | names
    rows = [(names[name], float(to_display(share * day, "energy", units))) for name, share in shares.items()]
    svg = charts.bars(rows, unit_of("energy", units).label, to_display(45 * 3.6e6, "energy", units),
                      title="Sun of one clear winter day, by who keeps it", styles={"out again": 1})  # fmt: skip
    low, high = float(course.air[_LAST_DAY].min()), float(course.air.max())
    warm = float(course.stores[store].max())

    def degrees(value):
        return f"{to_display(value, 'temperature', units):.1f} {unit_of('temperature', units).label}".replace("-", "−")

    keeps = "wall keeps" if store == "wall" else "drums keep"
    whole = format_quantity(day, "energy", units)
    sentence = (
        f"Of {whole} let in on a clear winter day, the {keeps} {shares[store]:.0%}. The air gets no warmer than "
        f"{degrees(high)} by day, and falls to {degrees(low)} in the design night."
    )
    numbers = {
        f"kept by the {store}": f"{shares[store]:.0%}",
        "out again through the panes": f"{shares['reflected']:.0%}",
        f"warmest {store}": degrees(warm),
        "warmest air by day": degrees(high),
        "coldest air of the night": degrees(low),
    }  # fmt: skip
    parts = ", ".join(f"{names[name]} {share:.0%}" for name, share in shares.items())
    what = f"Bars of where the sun's heat lands on {words} with {GROUNDS[ground]} outside"
    description = f"{what}: {parts}. {sentence}"
    return Picture(svg, sentence, description, numbers)


@lru_cache
def coldest_after(lesson):
    """Return the lowest air of the design night in the demo house after a lesson's measure, with snow outside.

    Parameters
    ----------
    lesson : int
        Number of the lesson, 1 to 10 [–].

    Returns
    -------
    float
        Temperature [°C].
    """
    return float(run(demo_house(after_lesson=lesson), _night_weather(True), 600.0).air[_LAST_DAY].min())


@lru_cache
def summer_peak(vents=True, shade=0.0):
    """Return the warmest air inside on the last of three clear days in July, 29 °C outside at its warmest.

    Parameters
    ----------
    vents : bool
        Whether the vents open [yes/no].
    shade : float
        Share of the sun that a shade cloth keeps out [–].

    Returns
    -------
    float
        Temperature [°C].
    """
    house, place = demo_house(after_lesson=HOUSE_BEFORE), demo_house().place
    house = house if vents else house.changed("vents", None)
    house = house.changed("shade", Shade(shade)) if shade else house
    more = {"longitude": place.longitude, "utc_offset": place.utc_offset, "elevation": place.elevation}
    days = design_day(place.latitude, "2025-07-21", minimum=16.0, maximum=29.0, days=3, wind_speed=1.0, **more)
    return run(house, days, 600.0).highest_air
