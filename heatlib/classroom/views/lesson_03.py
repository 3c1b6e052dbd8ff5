"""Views of lesson 3: foam inch by inch, the dark walls of the house, what a curtain's gaps undo, and payback."""

from functools import lru_cache

from heatlib import tables
from heatlib.classroom.charts import Axis, Line, lines
from heatlib.classroom.cutaway import cutaway, cutaway_words
from heatlib.classroom.house_section import flows_of_bill, section_of
from heatlib.classroom.picture import Picture
from heatlib.classroom.view import Choice, Slider, Toggle, view
from heatlib.conduction import bridged_u_value, layer_resistance, series, u_value
from heatlib.curtain import curtain_with_gaps
from heatlib.glazing import glazing_u_value
from heatlib.house.bill import loss_bill
from heatlib.house.demo import DESIGN_NIGHT, demo_house
from heatlib.house.greenhouse import Curtain, Layer
from heatlib.units import format_quantity, to_display, unit_of

__all__ = ["INCH", "curtain", "foamed_house", "house", "payback", "thickness", "wall_u_value"]

INSIDE, OUTSIDE = 2.0, DESIGN_NIGHT["coldest"]
"""The design night: what leafy greens need inside, and the cold outside [°C]."""
INCH = 0.0254
BOARD, LINING = INCH, 0.009
"""The demo house's outer boards, and the plywood that covers its foam inside [m]."""
EMPTY = 0.18
"""Resistance of a pocket that nobody filled: a closed gap of air [m²·K/W]."""

MATERIALS = {
    "eps": "white bead board",
    "xps": "blue or pink foam board",
    "polyiso": "foil-faced yellow board",
    "mineral_wool": "mineral wool",
    "glass_fibre": "glass fibre batts",
    "cellulose": "loose cellulose",
    "softwood": "more boards",
}


def _show(value, quantity, units, digits=None):
    return format_quantity(value, quantity, units, digits=digits)


def _plainly(depth, units):
    """A thickness without needless places: 100 mm, 4 in, 3.9 in."""
    return f"{to_display(depth, 'thickness', units):.3g} {unit_of('thickness', units).label}"


def _conductivity(name):
    return tables.entry("materials", name, "conductivity").value


def wall_u_value(material, depth, framing=0.0, gaps=0.0):
    """Give the U-value of a wall of inch boards with insulation between wooden studs, as deep as the insulation.

    Where a pocket between the studs stays empty, its closed air counts; air that blows through it does not.

    Parameters
    ----------
    material : str
        Name of the insulation [text].
    depth : float
        Its thickness; 0 is the bare board wall [m].
    framing, gaps : float
        Shares of the face that are studs and empty pockets [–].

    Returns
    -------
    float
        U-value [W/m²·K].
    """
    board = layer_resistance(BOARD, _conductivity("softwood"))
    if not depth:
        return float(u_value(series(0.13, board, 0.04)))
    parts = [
        (1 - framing - gaps, layer_resistance(depth, _conductivity(material))),
        (framing, layer_resistance(depth, _conductivity("softwood"))),
        (gaps, EMPTY),
    ]
    kept = [part for part in parts if part[0] > 0]
    return bridged_u_value([share for share, _ in kept], [[r for _, r in kept], board])


@view(
    title="Foam, inch by inch",
    controls=[
        Choice("material", "Between the studs", MATERIALS, "eps", MATERIALS),
        Slider("depth", "Thickness", "thickness", 0.0, 10 * INCH, 4 * INCH, {"metric": 5, "US": 0.5}),
        Slider("framing", "Part of the wall that is studs", "share", 0.0, 0.25, 0.12, {"metric": 1, "US": 1}),
        Slider("gaps", "Part of the wall left empty", "share", 0.0, 0.10, 0.0, {"metric": 1, "US": 1}),
    ],
)
def thickness(material, depth, framing, gaps, units):
    """Draw the loss against the thickness: as if there were no studs, and with studs and gaps."""
    difference = INSIDE - OUTSIDE
    bare = wall_u_value(material, 0.0) * difference
    now, perfect = (wall_u_value(material, depth, *parts) * difference for parts in ((framing, gaps), (0.0, 0.0)))
    first = bare - wall_u_value(material, INCH, framing, gaps) * difference
    saved, stolen = bare - now, now - perfect
    name, left = MATERIALS[material], _show(now, "irradiance", units)
    said = f"{_plainly(depth, units)} of {name}: {left} of {_show(bare, 'irradiance', units)} are left"
    if depth > 0:
        said += f"; the first inch saves {_show(first, 'irradiance', units)}"
    return Picture(
        _thickness_drawing(material, framing, gaps, (depth, now), units),
        f"{said}.",
        f"Loss of the wall falling with the thickness of {name}, steeply at first, then hardly: "
        f"{_show(bare, 'irradiance', units)} bare, {_show(bare - first, 'irradiance', units)} with "
        f"{_plainly(INCH, units)}, {left} with {_plainly(depth, units)}. A lower line shows the same without "
        f"studs and gaps: {_show(perfect, 'irradiance', units)}.",
        {
            "lost by the wall": _show(now, "irradiance", units),
            "saved by the insulation": _show(saved, "irradiance", units),
            "let through by studs and gaps": _show(stolen, "irradiance", units),
            "U-value": _show(now / difference, "u_value", units),
            "R-value": _show(difference / now, "r_value", units),
        },
    )


def _thickness_drawing(material, framing, gaps, point, units):
    def x(value):
        return float(to_display(value, "thickness", units))

    def y(value):
        return float(to_display(value, "irradiance", units))

    depths = [INCH * n / 4 for n in range(41)]
    rows = []
    kinds = (("without studs and gaps", (0.0, 0.0)), ("with studs and gaps", (framing, gaps)))
    for style, (name, parts) in enumerate(kinds):
        loss = [wall_u_value(material, depth, *parts) * (INSIDE - OUTSIDE) for depth in depths]
        rows.append(Line(name, tuple(map(x, depths)), tuple(map(y, loss)), style))
    across = Axis(f"Thickness, {unit_of('thickness', units).label}", 0, x(10 * INCH))
    up = Axis(f"Loss of the wall on the design night, {unit_of('irradiance', units).label}", 0, y(80.0))
    return lines(rows, across, up, point=(x(point[0]), y(point[1]), _show(point[1], "irradiance", units)))


WALLS = {
    "none": "none",
    "north_wall": "the north wall",
    "north_roof": "the north roof",
    "low": "the low boards on south, east and west",
    "all": "all boarded walls and the north roof",
}
PARTS = {
    "none": (),
    "north_wall": ("north wall",),
    "north_roof": ("north roof",),
    "low": ("south boards", "east boards and door", "west boards"),
    "all": ("north wall", "north roof", "south boards", "east boards and door", "west boards"),
}


@lru_cache(maxsize=512)
def foamed_house(walls, material, depth, framing, drawn, edges):
    """Return the demo house after lesson 2 with insulation in some of its dark parts, and a curtain or none."""
    now = demo_house(after_lesson=2)
    for name in PARTS[walls]:
        layers = (Layer("plywood", LINING), Layer(material, depth), *now.surface(name).layers)
        now = now.changed(**{f"surfaces.{name}.layers": layers, f"surfaces.{name}.framing": framing})
    return now.changed("curtain", Curtain(edge_leak=edges)) if drawn else now


@view(
    title="The dark walls of the club's house",
    controls=[
        Choice("walls", "Insulate", WALLS, "all", WALLS),
        Choice("material", "With", [name for name in MATERIALS if name != "softwood"], "eps", MATERIALS),
        Slider("depth", "Thickness", "thickness", 0.02, 0.25, 0.1, {"metric": 5, "US": 0.5}),
        Slider("framing", "Part of the wall that is studs", "share", 0.0, 0.25, 0.12, {"metric": 1, "US": 1}),
        Toggle("drawn", "Night curtain under the panes", True),
        Slider("edges", "Part of the panes the curtain leaves open", "share", 0.0, 0.5, 0.15, {"metric": 5, "US": 5}),
        Slider("outside", "Outside temperature", "temperature", -30.0, 0.0, -24.0, {"metric": 1, "US": 2}),
    ],
)
def house(walls, material, depth, framing, drawn, edges, outside, units):
    """Draw the demo house with the heat through its dark walls strong, and the panes too where a curtain hangs."""
    now = foamed_house(walls, material, depth, framing, drawn, edges)
    bill, before = loss_bill(now, INSIDE, outside), loss_bill(demo_house(after_lesson=2), INSIDE, outside)
    strong = ["north_roof", "north_wall", "south_base", "ends", *(("south_roof", "south_wall") if drawn else ())]
    section, flows = section_of(now), flows_of_bill(now, bill, strong=strong)
    case = {"inside": INSIDE, "outside": outside, "units": units}
    saved = max(before.total - bill.total, 0.0)
    walls_lose, panes_lose = (_show(bill.watts(key), "heat_flow", units) for key in ("walls", "glazing"))
    all_lost = _show(bill.total, "heat_flow", units)
    less = f"{_show(saved, 'heat_flow', units)} less than without these measures" if saved else "nothing is done yet"
    return Picture(
        cutaway(section, flows, **case, full_scale=2000.0),
        f"At {_show(outside, 'temperature', units)} the dark walls and roof lose {walls_lose}, the panes {panes_lose} "
        f"and the whole house {all_lost}: {less}.",
        cutaway_words(section, flows, **case),
        {
            "lost by dark walls and roof": walls_lose,
            "lost by panes": panes_lose,
            "lost in all": all_lost,
            "lost in all without these measures": _show(before.total, "heat_flow", units),
        },
    )


TALL = 1.5
"""Height of the curtain where it hangs before the panes [m]."""
BLANKET = 0.35
"""R-value of the demo house's night curtain: a quilted blanket [m²·K/W]."""
BEHIND = {
    "polycarbonate_twin_8": "twin-wall sheet",
    "glass_salvaged": "old single sash",
    "glass_and_film": "old sash and film",
}


@view(
    title="What open edges do to a curtain",
    controls=[
        Choice("pane", "The curtain hangs before", BEHIND, "polycarbonate_twin_8", BEHIND),
        Slider("gap", "Gap along top and bottom", "thickness", 0.0, 0.05, 0.01, {"metric": 1, "US": 0.05}),
        Slider("outside", "Outside temperature", "temperature", -40.0, 0.0, -24.0, {"metric": 1, "US": 2}),
    ],
)
def curtain(pane, gap, outside, units):
    """Draw the loss behind a curtain against the gap at its edges: both open, and one of them sealed."""
    bare = glazing_u_value(pane)
    difference = INSIDE - outside

    def loss(width, sealed=False):
        below = 0.0 if sealed else width
        return curtain_with_gaps(bare, BLANKET, TALL, width, below, INSIDE, outside) * difference

    def x(value):
        return float(to_display(value, "thickness", units))

    def y(value):
        return float(to_display(value, "irradiance", units))

    widths = [0.05 * (n / 20) ** 2 for n in range(21)]
    rows = [
        Line("no curtain", (x(0.0), x(0.05)), (y(bare * difference),) * 2, 4),
        Line("both edges open", tuple(map(x, widths)), tuple(y(loss(w)) for w in widths), 1),
        Line("one edge sealed", (x(0.0), x(0.05)), (y(loss(0.0)),) * 2, 0),
    ]
    now, tight = loss(gap), loss(0.0)
    kept = (bare * difference - now) / (bare * difference - tight)
    svg = lines(
        rows,
        Axis(f"Gap along top and bottom, {unit_of('thickness', units).label}", 0, x(0.05)),
        Axis(f"Loss of the pane, {unit_of('irradiance', units).label}", 0, y(160.0)),
        point=(x(gap), y(now), _show(now, "irradiance", units)),
    )
    return Picture(
        svg,
        f"With {_plainly(gap, units)} open above and below, the pane loses {_show(now, 'irradiance', units)}: the "
        f"curtain does {kept:.0%} of what it could. With one edge sealed: {_show(tight, 'irradiance', units)}.",
        f"Loss of a pane of {BEHIND[pane]} behind a curtain, rising with the gap along its top and bottom: "
        f"{_show(tight, 'irradiance', units)} closed, {_show(now, 'irradiance', units)} with {_plainly(gap, units)}, "
        f"{_show(bare * difference, 'irradiance', units)} without a curtain. With one edge sealed it stays at "
        f"{_show(tight, 'irradiance', units)}, however wide the other gap.",
        {
            "with these gaps": _show(now, "irradiance", units),
            "one edge sealed": _show(loss(gap, sealed=True), "irradiance", units),
            "no curtain": _show(bare * difference, "irradiance", units),
        },
    )


SHEET = 1.2192 * 2.4384
"""One board of foam, 4 ft by 8 ft [m²]."""
MOST = 10
MONTHS = {"3": "3 months a year", "5": "5 months a year", "7": "7 months a year"}
MONTH = 30.4 * 24
"""Hours in a month [h]."""


@lru_cache
def dark_area():
    """Return the area of all boarded walls and the north roof of the demo house [m²]."""
    return sum(surface.area for surface in demo_house().surfaces if surface.layers)


@view(
    title="Does it pay for itself?",
    controls=[
        Slider("sheet", "Price of one board, an inch thick", "money", 0.0, 40.0, 15.0, {"metric": 1, "US": 1}),
        Slider("heat", "Price of a kilowatt-hour of heat", "money", 0.05, 0.50, 0.17, {"metric": 0.01, "US": 0.01}),
        Slider("years", "Years it will stand", "count", 1, 25, 10),
        Slider(
            "difference",
            "Kept warmer than outside by",
            "temperature_difference",
            4.0,
            25.0,
            10.0,
            {"metric": 1, "US": 1},
        ),
        Choice("months", "The house is heated", MONTHS, "5", MONTHS),
    ],
)
def payback(sheet, heat, years, difference, months, units):
    """Draw what foam in all dark walls costs and saves over the years, against the number of boards of an inch."""
    hours, area = float(months) * MONTH, dark_area()
    bare = wall_u_value("eps", 0.0)

    def yearly(count):
        return (bare - wall_u_value("eps", count * INCH, 0.12)) * area * difference * hours / 1000 * heat

    counts = range(MOST + 1)
    cost, saved = [area / SHEET * sheet * n for n in counts], [yearly(n) * years for n in counts]
    left = [a - b for a, b in zip(saved, cost)]
    best = max(counts, key=left.__getitem__)
    rows = [
        Line(f"saved in {years} {'year' if years == 1 else 'years'}", tuple(counts), tuple(saved), 2),
        Line("price of the foam", tuple(counts), tuple(cost), 1),
        Line("left over", tuple(counts), tuple(left), 0),
    ]
    up = Axis("Money, in the coin of your prices", -1000, 4000)
    svg = lines(
        rows, Axis("Boards of an inch, one on the other", 0, MOST), up, point=(best, left[best], f"best: {best}")
    )
    first, last = (_years_to_pay(cost[n] - cost[n - 1], yearly(n) - yearly(n - 1)) for n in (1, max(best, 1)))
    # the last of the ten boards that the picture shows
    tenth = _years_to_pay(cost[MOST] - cost[MOST - 1], yearly(MOST) - yearly(MOST - 1))
    total = _years_to_pay(cost[best], yearly(best)) if best else "never"
    span, saves = ("1 year", "saves") if years == 1 else (f"{years} years", "save")
    said = f"No board pays: the first would take {first} to pay for itself."
    boards = f"{best} board{'' if best == 1 else 's'} of an inch"
    if best:
        said = (
            f"Best: {boards} for {_money(cost[best])}; {span} {saves} {_money(saved[best])}. Payback: {total}; "
            f"the first board alone {first}, the tenth {tenth}."
        )
    if best and not sheet:
        said = f"Best: {boards}, for they are free; {span} {saves} {_money(saved[best])}."
    return Picture(
        svg,
        said,
        f"Money saved by foam in {_show(area, 'area', units)} of dark wall and roof in {span}, its price, and the "
        f"difference, for 0 to {MOST} boards of an inch, one on the other. The difference is greatest at {best}: "
        f"{_money(left[best])}. The first board pays for itself in {first}, board number {max(best, 1)} in {last}.",
        {
            "first board pays for itself in": first,
            "last of the best boards in": last,
            f"board number {MOST} in": tenth,
            "saved each year": _money(yearly(best)),
        },
    )


def _money(amount):
    return f"{amount:,.0f}".replace(",", "\u202f").replace("-", "−")


def _years_to_pay(price, yearly):
    """Say in words how long a price takes to come back."""
    if price == 0:
        return "no time, as it is free"
    years = price / yearly
    return f"{years:.0f} years" if years >= 9.5 else f"{years:.1f} years"
