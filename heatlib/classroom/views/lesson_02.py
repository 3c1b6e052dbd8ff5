"""Views of lesson 2: the layers of a pane, a wall of odd panes, the kinds of glazing, the panes of the house."""

from functools import lru_cache
from typing import NamedTuple

from heatlib import tables
from heatlib.classroom.controls import stated
from heatlib.classroom.cutaway import cutaway, cutaway_words
from heatlib.classroom.house_section import flows_of_bill, section_of
from heatlib.classroom.picture import Picture
from heatlib.classroom.view import Choice, Slider, Toggle, view
from heatlib.classroom.views.pane_drawings import LOOKS, kinds_drawing, layers_drawing, patchwork_drawing
from heatlib.conduction import air_gap_resistance, layer_resistance, layer_temperatures, series, surface_resistance
from heatlib.glazing import glazing_u_value, pieced_u_value
from heatlib.house.bill import loss_bill
from heatlib.house.demo import demo_house
from heatlib.units import format_quantity

__all__ = ["house", "kinds", "layers", "pane_layers", "patchwork"]

INSIDE = 2.0
"""Inside temperature where a view has no control for it: what leafy greens need in the demo house [°C]."""
ONE = {"metric": (1.0, "1 m²"), "US": (0.3048**2, "1 ft²")}
"""The reader's unit of area, in SI and in words [m²]."""

BUILDS = {
    "one": "one pane of glass",
    "film": "glass with a film behind it",
    "two": "two panes of glass",
    "three": "three panes of glass",
}
PANES = {"one": 1, "film": 1, "two": 2, "three": 3}
GAPS = {"one": 0, "film": 1, "two": 1, "three": 2}

NAMES = {
    "glass_single": "single glass",
    "glass_salvaged": "old sash",
    "acrylic_single": "acrylic sheet",
    "film_single": "one film, dry",
    "film_double": "two films, dry",
    "polycarbonate_twin_8": "twin-wall sheet",
    "polycarbonate_twin_16": "thick twin-wall sheet",
    "acrylic_double": "hollow acrylic sheet",
    "glass_and_film": "old sash and film",
    "glass_and_bubble_film": "old sash and bubble film",
    "glass_two_sashes": "two sashes, one behind the other",
    "glass_double": "sealed double glass",
}
"""Words for the glazings of the table that this lesson shows."""


class PaneLayers(NamedTuple):
    """Names, resistances [m²·K/W] and kinds of a pane's layers from the inside outward, and the temperatures [°C]."""

    names: tuple
    resistances: tuple
    kinds: tuple
    temperatures: tuple


def _show(value, quantity, units, digits=None):
    return format_quantity(value, quantity, units, digits=digits)


def pane_layers(panes, glass, gap, wind, inside, outside):
    """Lay out an upright pane from film of air to film of air; each air gap is worked out at its own temperatures.

    Parameters
    ----------
    panes : str
        A key of :data:`BUILDS`; a film is taken as wet, so that it stops heat rays, and as resisting nothing [text].
    glass, gap : float
        Thickness of each pane and of each gap of air [m].
    wind : float
        Wind along the pane [m/s].
    inside, outside : float
        Air temperatures [°C].

    Returns
    -------
    PaneLayers
        From the inside outward [m²·K/W, °C].
    """
    count, pane = GAPS[panes], layer_resistance(glass, tables.entry("materials", "glass", "conductivity").value)
    skins = 0.0 if panes == "film" else pane
    names, kinds = ["inside film of air"], ["film"]
    for _ in range(count):
        names += ["plastic film" if panes == "film" else "glass", "air gap"]
        kinds += ["glass", "gap"]
    names, kinds = [*names, "glass", "outside film of air"], [*kinds, "glass", "film"]
    gaps = [0.18] * count
    for _ in range(6 if count else 1):
        resistances = [surface_resistance("horizontal")]
        for one in gaps:
            resistances += [skins, one]
        resistances += [pane, surface_resistance("horizontal", "outside", wind)]
        degrees = layer_temperatures(resistances, inside, outside)
        gaps = [air_gap_resistance(gap, degrees[2 + 2 * n], degrees[3 + 2 * n], 90.0) for n in range(count)]
    return PaneLayers(tuple(names), tuple(resistances), tuple(kinds), tuple(float(t) for t in degrees))


@view(
    title="Through the pane, layer by layer",
    controls=[
        Choice("panes", "What the window is made of", BUILDS, "film", BUILDS),
        Slider("glass", "Thickness of the glass", "thickness", 0.002, 0.020, 0.004, {"metric": 1, "US": 0.02}),
        Slider("gap", "Width of each air gap", "thickness", 0.005, 0.100, 0.020, {"metric": 5, "US": 0.25}),
        Slider("wind", "Wind along the pane", "speed", 0.0, 12.0, 4.0, {"metric": 0.5, "US": 1}),
        Slider("outside", "Outside temperature", "temperature", -40.0, 0.0, -24.0, {"metric": 1, "US": 2}),
    ],
)
def layers(panes, glass, gap, wind, outside, units):
    """Draw the layers as wide as they resist, and the temperature falling through them in a straight line."""
    pane = pane_layers(panes, glass, gap, wind, INSIDE, outside)
    total = series(*pane.resistances)
    loss = (INSIDE - outside) / total
    shares = {kind: sum(r for r, k in zip(pane.resistances, pane.kinds) if k == kind) / total for kind in LOOKS}
    area, words = ONE[units]
    lost = _show(area * loss, "heat_flow", units)
    face = _show(pane.temperatures[1], "temperature", units)
    name = BUILDS[panes][0].upper() + BUILDS[panes][1:]
    parts = f"the glass is {shares['glass']:.1%} of what resists, the two films of air are {shares['film']:.0%}"
    if GAPS[panes]:
        parts += f" and the air {'gap is' if GAPS[panes] == 1 else 'gaps are'} {shares['gap']:.0%}"
    listed = ", ".join(
        f"{n} {_show(r, 'r_value', units, 2)}" if r else f"{n} next to nothing"
        for n, r in zip(pane.names, pane.resistances)
    )
    return Picture(
        layers_drawing(pane, total, units),
        f"{name}: {words} loses {lost}; {parts}.",
        f"Bands as wide as each layer resists, from the inside at {_show(INSIDE, 'temperature', units)} to the outside "
        f"at {_show(outside, 'temperature', units)}: {listed}. The temperature falls through them in a straight line; "
        f"the inner face has {face}.",
        {
            f"lost by {words}": lost,
            "R-value, all layers": _show(total, "r_value", units),
            "U-value": _show(1 / total, "u_value", units),
            "inner face": face,
        },
    )


SASHES = {
    "bare": "nothing",
    "film": "a film behind them",
    "bubble": "bubble film on them",
    "second": "a second sash behind them",
}
SASH_GLAZING = {
    "bare": "glass_salvaged",
    "film": "glass_and_film",
    "bubble": "glass_and_bubble_film",
    "second": "glass_two_sashes",
}
ODD = ("acrylic_single", "acrylic_double", "film_single", "film_double", "glass_single", "glass_double")


@view(
    title="A wall pieced together from odd windows",
    controls=[
        Slider("sashes", "Area of old sashes", "area", 0.0, 8.0, 1.5, {"metric": 0.5, "US": 5}),
        Slider("twin", "Area of twin-wall sheet", "area", 1.0, 8.0, 5.0, {"metric": 0.5, "US": 5}),
        Slider("odd", "Area of the odd sheet", "area", 0.0, 8.0, 2.0, {"metric": 0.5, "US": 5}),
        Slider("outside", "Outside temperature", "temperature", -40.0, 0.0, -24.0, {"metric": 1, "US": 2}),
        Choice("layer", "The old sashes get", SASHES, "bare", SASHES),
        Choice("kind", "The odd sheet is", ODD, "acrylic_single", NAMES),
    ],
)
def patchwork(sashes, twin, odd, outside, layer, kind, units):
    """Draw each piece as a box: as wide as its area, as high as what a square metre of it loses."""
    pieces = [(SASH_GLAZING[layer], sashes), ("polycarbonate_twin_8", twin), (kind, odd)]
    rows = [(NAMES[name], area, glazing_u_value(name), n) for n, (name, area) in enumerate(pieces) if area > 0]
    mean, whole = pieced_u_value([(row[2], row[1]) for row in rows]), sum(row[1] for row in rows)
    difference = INSIDE - outside
    total = mean * whole * difference
    worst = max(rows, key=lambda row: row[2])
    share, part = worst[1] * worst[2] / mean / whole, worst[1] / whole
    said = (
        f"{stated(whole, 'area', units)} of wall lose {_show(total, 'heat_flow', units)}; "
        f"the {worst[0]} is {part:.0%} of the area and {share:.0%} of the loss."
    )
    if len(rows) == 1:
        said = f"{stated(whole, 'area', units)} of {worst[0]} lose {_show(total, 'heat_flow', units)}."
    listed = ", ".join(
        f"{name} {stated(area, 'area', units)}, {_show(area * u * difference, 'heat_flow', units)}"
        for name, area, u, _ in rows
    )
    return Picture(
        patchwork_drawing(rows, mean, difference, units),
        said,
        f"Boxes side by side, as wide as the area of a piece and as high as its loss for each unit of area, at "
        f"{_show(INSIDE, 'temperature', units)} inside and {_show(outside, 'temperature', units)} outside: {listed}. "
        f"A dashed line marks the mean of the wall, a U-value of {_show(mean, 'u_value', units)}.",
        {
            "lost by the wall": _show(total, "heat_flow", units),
            "area of the wall": stated(whole, "area", units),
            "mean U-value": _show(mean, "u_value", units),
        },
    )


SHOWN = (
    "film_single", "glass_salvaged", "acrylic_single", "film_double", "polycarbonate_twin_8", "glass_and_film",
    "acrylic_double", "glass_double", "polycarbonate_twin_16",
)  # fmt: skip


@view(
    title="One kind of glazing beside the other",
    controls=[
        Slider("area", "Area", "area", 0.5, 20.0, 1.0, {"metric": 0.5, "US": 1}),
        Slider(
            "difference",
            "Inside warmer than outside by",
            "temperature_difference",
            5.0,
            45.0,
            26.0,
            {"metric": 1, "US": 1},
        ),
        Slider("wind", "Wind along the pane", "speed", 0.0, 12.0, 4.0, {"metric": 0.5, "US": 1}),
        Toggle("wet", "Drops on the films", False),
    ],
)
def kinds(area, difference, wind, wet, units):
    """Draw one bar a glazing, as long as it resists, cut into the films of air and what the pane itself adds."""
    rows = []
    for name in SHOWN:
        rays = tables.entry("glazings", name, "infrared_transmittance").value > 0
        rows.append((_kind_name(name, wet), name, glazing_u_value(name, wind_speed=wind, wet=wet), rays and not wet))
    rows.sort(key=lambda row: -row[2])
    heats = {row[0]: row[2] * area * difference for row in rows}
    most, least = rows[0][0], rows[-1][0]
    listed = ", ".join(f"{name} {_show(heat, 'heat_flow', units)}" for name, heat in heats.items())
    case = f"{stated(area, 'area', units)}, {stated(difference, 'temperature_difference', units)} warmer inside"
    return Picture(
        kinds_drawing(rows, heats, wind, units),
        f"{case}, wind {stated(wind, 'speed', units)}: {most} loses {_show(heats[most], 'heat_flow', units)}, "
        f"{least} {_show(heats[least], 'heat_flow', units)}.",
        f"Bars as long as each glazing resists. Heat lost by {case}: {listed}.",
        {name: _show(heat, "heat_flow", units) for name, heat in heats.items()},
    )


def _kind_name(name, wet):
    return NAMES[name].replace("dry", "wet") if wet else NAMES[name]


SHEETS = {
    "glass_single": "single glass",
    "acrylic_single": "single acrylic sheet",
    "film_single": "one film, dry",
    "film_double": "two films, dry",
    "polycarbonate_twin_8": {"metric": "twin-wall sheet, 8 mm", "US": "twin-wall sheet, 5/16 in"},
    "polycarbonate_twin_16": {"metric": "twin-wall sheet, 16 mm", "US": "twin-wall sheet, 5/8 in"},
}
SASH_AREA, SOUTH_GLAZED = 0.45, 4.8
"""One sash, and all that is glazed in the south wall of the demo house; sheet fills what the sashes leave [m²]."""


@lru_cache(maxsize=256)
def glazed_house(sheet, layer, count):
    """Return the demo house after lesson 1 with other sheets, another layer on its sashes, another number of them."""
    now = demo_house(after_lesson=1)
    for name in ("south roof", "south wall", "east gable", "west gable"):
        now = now.changed(f"surfaces.{name}.glazing", sheet)
    now = now.changed("surfaces.south wall.area", SOUTH_GLAZED - count * SASH_AREA)
    if not count:
        return now.changed("surfaces.sashes", None)
    return now.changed(**{"surfaces.sashes.glazing": SASH_GLAZING[layer], "surfaces.sashes.area": count * SASH_AREA})


@view(
    title="The panes of the club's house",
    controls=[
        Choice("sheet", "Roof, gables and rest of the south wall", SHEETS, "polycarbonate_twin_8", SHEETS),
        Choice("layer", "The old sashes get", ("bare", "film", "second"), "bare", SASHES),
        Slider("count", "Number of old sashes", "count", 0, 10, 6),
        Slider("inside", "Inside temperature", "temperature", 0.0, 15.0, 2.0, {"metric": 1, "US": 1}),
        Slider("outside", "Outside temperature", "temperature", -30.0, 0.0, -24.0, {"metric": 1, "US": 2}),
        Slider("wind", "Wind at the house", "speed", 0.0, 12.0, 1.0, {"metric": 0.5, "US": 1}),
    ],
)
def house(sheet, layer, count, inside, outside, wind, units):
    """Draw the demo house with the heat through its panes strong and every other path pale."""
    now = glazed_house(sheet, layer, count)
    bill = loss_bill(now, inside, outside, wind)
    panes, glazed = bill.watts("glazing"), sum(one.area for one in now.surfaces if one.glazing)
    sashes = next((row.parts.get("sashes", 0.0) for row in bill.rows if row.key == "glazing"), 0.0)
    section = section_of(now)
    flows = flows_of_bill(now, bill, strong=("south_roof", "south_wall", "ends"))
    case = {"inside": inside, "outside": outside, "units": units}
    night = f"At {_show(inside, 'temperature', units)} inside and {_show(outside, 'temperature', units)} outside"
    return Picture(
        cutaway(section, flows, **case, full_scale=4000.0),
        f"{night} the panes lose {_show(panes, 'heat_flow', units)} of the house's "
        f"{_show(bill.total, 'heat_flow', units)}; the old sashes {_show(sashes, 'heat_flow', units)} of that.",
        cutaway_words(section, flows, **case),
        {
            "lost through the panes": _show(panes, "heat_flow", units),
            "of that through the sashes": _show(sashes, "heat_flow", units),
            "lost by each unit of glazed area": _show(panes / glazed, "irradiance", units),
            "radiated to the sky": _show(bill.watts("sky"), "heat_flow", units),
            "lost in all": _show(bill.total, "heat_flow", units),
        },
    )
