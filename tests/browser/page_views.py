"""Views for the tests of the live view: one cutaway, one chart, one that breaks. Invented numbers."""

import math
import time

from heatlib.classroom import charts, cutaway
from heatlib.classroom.picture import Picture
from heatlib.classroom.view import Choice, Slider, Toggle, View, view
from heatlib.units import format_quantity, to_display, unit_of

__all__ = ["View", "breaks", "house", "night"]

CASE = {"outside": -24.0}


@view(
    title="Where the heat goes",
    controls=[
        Slider("leaks", "Heat lost by leaks", "heat_flow", 0, 2000, 400, {"metric": 50, "US": 200}),
        Slider("inside", "Inside", "temperature", -10, 20, 5, {"metric": 1, "US": 2}),
        Choice("panes", "Panes", ("one", "two", "three"), "two"),
        Toggle("curtain", "Night curtain"),
    ],
)
def house(leaks, inside, panes, curtain, *, units):
    """Draw a cutaway whose leaks and panes can be moved."""
    layers = (cutaway.FloorLayer("gravel", 0.1), cutaway.FloorLayer("foam", 0.05, "foam"))
    count = ("one", "two", "three").index(panes) + 1
    section = cutaway.Section(
        insulation=0.1, panes=count, floor=layers, edge_depth=0.6, curtain=curtain, heater=True, pipes=4
    )
    glass = 40.0 * (inside - CASE["outside"]) / count
    flows = [
        cutaway.Flow("leaks", "Leaks", leaks),
        cutaway.Flow("south_roof", "South roof", glass),
        cutaway.Flow("south_wall", "South wall", glass / 3),
        cutaway.Flow("ends", "East and west ends", glass / 2),
        cutaway.Flow("north_wall", "North wall", 7.0 * (inside - CASE["outside"])),
        cutaway.Flow("edge", "Floor edge", 120.0, strong=False),
        cutaway.Flow("heater", "Heater", -900.0),
    ]
    stores = [cutaway.Store("barrel", "9 barrels", 6.2, 0.6, count=9), cutaway.Store("bed", "Bed", 5.1, 0.5)]
    case = {"inside": inside, "units": units, **CASE}
    shown = f"{to_display(leaks, 'heat_flow', units):.0f} {unit_of('heat_flow', units).label}"
    words = cutaway.cutaway_words(section, flows, stores, **case)
    total = format_quantity(sum(flow.watts for flow in flows[:-1]), "heat_flow", units)
    drawing = cutaway.cutaway(section, flows, stores, full_scale=2000, **case)
    return Picture(
        drawing, f"The leaks take {shown} of {total}.", words, {"lost by leaks": shown, "lost in all": total}
    )


@view(title="A night", controls=[Slider("swing", "Swing of the air", "temperature_difference", 0, 12, 6)])
def night(swing, *, units):
    """Draw the course of two days with a limit."""
    hours = tuple(h / 4 for h in range(193))

    def line(name, mean, width, late, style):
        return charts.Line(
            name,
            hours,
            tuple(
                to_display(mean + width * math.sin((h - late) / 24 * 2 * math.pi), "temperature", units) for h in hours
            ),
            style,
        )

    rows = [line("Air", 5, swing, 3, 0), line("Water in barrels", 7, swing / 3, 6, 1), line("Bed", 6, swing / 5, 8, 2),
            line("Outside", -18, 6, 3, 4)]  # fmt: skip
    unit, limit = unit_of("temperature", units).label, to_display(2.0, "temperature", units)
    ends = [to_display(t, "temperature", units) for t in (-30.0, 20.0)]
    across = charts.Axis("Hour of the day", 0, 48, tuple((h, f"{(12 + h) % 24:02}:00") for h in range(0, 49, 6)))
    drawing = charts.course(
        rows, across, charts.Axis(f"Temperature, {unit}", *ends), crop_limit=(limit, f"greens need {limit:g} {unit}")
    )
    words = charts.shortfall_words(rows[0], limit, "The air", unit)
    return Picture(drawing, words, f"Four lines over 48 hours. {words}")


@view(title="Breaks at its end", controls=[Slider("x", "Length", "length", 0, 1, 0)])
def breaks(x, *, units):
    """Draw until the end of the slider, and then break."""
    words = f"It is {1 / (1 - x):.2f}."
    drawing = charts.comparison([("it", 1 / (1 - x))], "m", 10, title="Length")
    return Picture(drawing, words, words)


@view(title="Slow in its upper half", controls=[Slider("x", "Length", "length", 0, 1, 0)])
def slow(x, *, units):
    """Draw at once below the middle, and think a while above it."""
    if x > 0.5:
        time.sleep(1.5)
    words = f"It is {x:.2f}."
    drawing = charts.comparison([("it", x)], "m", 1, title="Length")
    return Picture(drawing, words, words)
