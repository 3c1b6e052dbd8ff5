"""The greenhouse in section, to scale: what stands there, how warm it is, and arrows as wide as the watts.

The section looks east: north on the left, south on the right. It takes plain numbers, so any house can be drawn;
:mod:`heatlib.classroom.house_section` makes them from a :class:`heatlib.house.greenhouse.Greenhouse`.
"""

from heatlib.classroom import svg as s
from heatlib.classroom.cutaway_arrows import arrow_words, arrows, watts_text
from heatlib.classroom.cutaway_parts import around, barrels, bed, fills, floor, heater, pipes, shell
from heatlib.classroom.section import DARK, GROUND, HEIGHT, PLACES, WIDTH, FloorLayer, Flow, Frame, Section, Store
from heatlib.units import format_quantity, from_display

__all__ = [
    "DARK", "GROUND", "PLACES", "WATTS_PER_POINT", "WIDEST", "FloorLayer", "Flow", "Section", "Store", "cutaway",
    "cutaway_words", "watts_text",
]  # fmt: skip

WATTS_PER_POINT = 45.0
"""Usual thickness of an arrow; a house that loses more is drawn with thinner arrows, and the key says so."""
WIDEST = 44.0


def _key(frame, per_point, units, arrows):
    """Scale bar of lengths and, where there are arrows, the thickness that stands for a round number of watts."""
    metres, name = (1.0, "1 m") if units == "metric" else (0.9144, "3 ft")
    y = HEIGHT - 12
    watts = from_display(500.0 if units == "metric" else 2000.0, "heat_flow", units)
    round_text = watts_text(watts, units)
    thick = watts / per_point
    lengths = [
        s.line(10, y - 4, 10 + metres * frame.scale, y - 4, "ink", 2),
        s.line(10, y - 8, 10, y, "ink", 2),
        s.line(10 + metres * frame.scale, y - 8, 10 + metres * frame.scale, y, "ink", 2),
        s.text(16 + metres * frame.scale, y, name, halo=True),
    ]
    widths = [
        s.arrow(WIDTH - 40, y - 5, WIDTH - 8, y - 5, max(thick, 1.2), "heat"),
        s.text(WIDTH - 46, y, f"{round_text} is this wide", anchor="end", halo=True),
    ]
    return lengths + widths if arrows else lengths


def cutaway(section, flows=(), stores=(), *, inside, outside, units, full_scale=None, taken=()):
    """Draw the house in section with its stores and heat paths.

    Parameters
    ----------
    section : Section
        What stands there [m].
    flows : iterable of Flow
        Heat paths [W].
    stores : iterable of Store
        Barrels and bed [°C].
    inside, outside : float
        Air temperatures [°C].
    units : str
        ``"metric"`` or ``"US"`` [text].
    full_scale : float, optional
        Heat flow that the widest arrow stands for, so that a moving slider doesn't change the scale [W].
    taken : iterable of (float, float, float, float)
        Left, top, right and bottom of places that the caller draws on, so that no words go there [points].

    Returns
    -------
    str
        The drawing [SVG].
    """
    flows, frame = tuple(flows), Frame(section)
    biggest = max((abs(flow.watts) for flow in flows), default=0.0)
    per_point = max(WATTS_PER_POINT, biggest / WIDEST, (full_scale or 0.0) / WIDEST)
    things = []
    for box in taken:
        frame.room.take(*box)
    for store in stores:
        things += barrels(frame, store, units) if store.kind == "barrel" else bed(frame, store, units)
    if section.heater:
        things += heater(frame)
    degrees = [format_quantity(t, "temperature", units) for t in (inside, outside)]
    inner = (frame.middle, frame.eaves - 12, f"Inside {degrees[0]}", 15, "middle")
    frame.room.take_words(*inner[:2], [inner[2]], *inner[3:], bold=True)
    drawn, words = arrows(frame, flows, per_point)
    return s.document(
        WIDTH, HEIGHT,
        *around(frame), *floor(frame), *pipes(frame), *shell(frame), *things, *drawn,
        *arrow_words(frame, words, units),
        s.text(*inner, bold=True, halo=True),
        s.text(8, 20, f"Outside {degrees[1]}", 15, bold=True, halo=True),
        s.text(frame.left - 12, GROUND - 6, "North", anchor="end", halo=True),
        s.text(frame.right + 12, GROUND - 6, "South", halo=True),
        *_key(frame, per_point, units, bool(flows)),
        definitions=fills(),
    )  # fmt: skip


def cutaway_words(section, flows=(), stores=(), *, inside, outside, units):
    """Describe the drawing for a reader who can't see it, with all its numbers."""

    def show(value, quantity):
        return format_quantity(value, quantity, units)

    size = f"{show(section.width, 'length')} wide, {show(section.eaves, 'length')} high at the eaves"
    parts = [
        f"Greenhouse in section, {size} and {show(section.ridge, 'length')} at the ridge, south on the right",
        f"inside {show(inside, 'temperature')}, outside {show(outside, 'temperature')}",
    ]
    if section.insulation > 0:
        parts.append(f"{show(section.insulation, 'thickness')} of insulation in the dark walls")
    for layer in section.floor:
        parts.append(f"floor layer {layer.name}, {show(layer.thickness, 'thickness')}")
    parts += [f"{one.label} at {show(one.temperature, 'temperature')}" for one in stores]
    for flow in sorted(flows, key=lambda one: -abs(one.watts)):
        gains = flow.place in ("sun", "heater", "stores", "pipes")
        way = "in" if flow.watts < 0 or (gains and flow.watts == 0) else "out"
        parts.append(f"{flow.label}: {watts_text(flow.watts, units)} {way}")
    return ". ".join(part[0].upper() + part[1:] for part in parts) + "."
