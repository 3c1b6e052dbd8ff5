"""Views of lesson 7: sun through one pane by month, through the whole house, and where its heat lands."""

import numpy as np

from heatlib.classroom import charts
from heatlib.classroom import svg as s
from heatlib.classroom.charts import Axis, Line
from heatlib.classroom.cutaway import cutaway, cutaway_words
from heatlib.classroom.house_section import section_of, stores_of
from heatlib.classroom.picture import Picture
from heatlib.classroom.sunlit import sunlit_section
from heatlib.classroom.view import Choice, Slider, view
from heatlib.classroom.views.sun_nights import CATCHERS, LAST_DAY, coldest_after, summer_peak, winter_night
from heatlib.classroom.views.sun_sums import GROUNDS, HOUSE_BEFORE, TREES, house_sun, leaf_share, noon, pane_sun
from heatlib.house.demo import DESIGN_NIGHT, demo_house
from heatlib.house.greenhouse import COMPASS
from heatlib.house.nodes import sun_shares
from heatlib.transmission import solar_property
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

MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip
FACING = ("east", "south-east", "south", "south-west", "west", "north")
GLAZINGS = {
    "glass_single": "one pane of glass",
    "glass_and_film": "glass and film",
    "polycarbonate_twin_8": "twin-wall sheet",
    "polycarbonate_triple_16": "triple-wall sheet",
    "film_double": "two films",
}
_CATCHER_WORDS = {key: words for key, (_, _, words) in CATCHERS.items()}


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
        s.text(350, 22, "from the sun", 16, "end"),
    ]
    sentence = (
        "A stick stands at 90° on level ground; a line from the tip of its shadow over its top points to the sun."
    )
    words = f"{sentence} The angle between that line and the ground is the height of the sun."
    return Picture(s.document(426, 212, *pieces), sentence, words, {})


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

    height, azimuths = noon(month)
    glare = solar_property(ground, "solar_reflectance")
    words = {"roof": "South roof", "wall": "South wall, sashes", "ends": "East and west ends"}
    shown_tree = None
    if TREES[tree] is not None:
        leaves = leaf_share(month)
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
    low, high = float(course.air[LAST_DAY].min()), float(course.air.max())
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
