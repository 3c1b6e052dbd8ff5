"""Views of lesson 4: what leaks and doors cost, and when a lobby pays."""

from dataclasses import replace
from functools import lru_cache

from heatlib import tables
from heatlib.classroom import charts, cutaway
from heatlib.classroom import svg as s
from heatlib.classroom.controls import stated
from heatlib.classroom.house_section import flows_of_bill, section_of, stores_of
from heatlib.classroom.picture import Picture
from heatlib.classroom.view import Choice, Slider, Toggle, view
from heatlib.conduction import air_gap_resistance
from heatlib.glazing import glazing_u_value
from heatlib.house.bill import loss_bill
from heatlib.house.demo import DESIGN_NIGHT, demo_house
from heatlib.infiltration import air_density, leakage_flow
from heatlib.other_heat import carbon_dioxide
from heatlib.units import format_quantity, to_display, unit_of

__all__ = ["door", "flame_air", "house", "house_bill", "leak_factor", "lobby_saving", "rival_saving", "still", "wind"]

NIGHT = DESIGN_NIGHT["coldest"]
INSIDE = demo_house().limits.minimum
CALM = 1.0
SEALED = tables.entry("tightness", "sealed", "air_change_rate").value
CLASSES = {
    "sealed": "sealed",
    "new_double_film": "new, two films",
    "new_glass": "new, glass or sheets",
    "old_good": "old, in good repair",
    "old_poor": "old, in poor repair",
    "patched": "pieced together",
}
CARBON_DIOXIDE_LIMIT, OUTDOOR_CARBON_DIOXIDE = 5000e-6, 420e-6
"""Usual limit for a working day, and the air outdoors [parts of volume]; both from memory."""
MOST_OPENINGS = 40
DOOR = (384, cutaway.GROUND - 146, 442, cutaway.GROUND)
"""Left, top, right and bottom of the door in the picture [points]."""
SHORT = {"leaks": "Cracks", "ends": "Ends"}
"""Words that leave room for the door in the picture."""


def leak_factor(wind_speed, inside, outside, shelter="moderate"):
    """Tell by how much cracks let more through than at the stated rate's 4 m/s and 10 K [–]."""
    return leakage_flow(0.01, inside, outside, wind_speed, shelter) / leakage_flow(0.01, 10.0, 0.0, 4.0)


@lru_cache
def _bill(house, outside, wind_speed=CALM):
    return loss_bill(house, INSIDE, outside, wind_speed)


@lru_cache
def _change():
    """Heat that one air change an hour carries out of the demo house for each degree, as in its loss bill [W/K]."""
    house = demo_house(3)
    return _bill(house, NIGHT).watts("leaks") / house.air.air_change_rate / (INSIDE - NIGHT)


def _watts(value, units):
    return cutaway.watts_text(value, units)


def _rate(value):
    return f"{value:.2f}" if value < 1 else f"{value:.1f}"


def _often(value):
    return f"{value:.1f}".removesuffix(".0")


def house_bill(rate, wind_speed, openings, lobby):
    """Return the house after lesson 3 with other cracks, wind and door, and its bill on the design night.

    ``rate`` is the air changes in an ordinary wind; wind and frost of the moment set what comes in.
    """
    changes = rate * float(leak_factor(wind_speed, INSIDE, NIGHT))
    air = replace(demo_house(3).air, air_change_rate=changes, door_openings=float(openings), lobby=lobby)
    here = demo_house(3).changed("air", air)
    return here, _bill(here, NIGHT, wind_speed)


def still(units):
    """Draw the house after lesson 3 with its door, and no loss yet."""
    here = demo_house(3)
    section, stores = section_of(here), stores_of(here, {"drums": 6.0})
    case = {"inside": INSIDE, "outside": NIGHT, "units": units}
    drawing = _with_door(cutaway.cutaway(section, (), stores, **case), 0.0, 2, False, 0.0, units)
    night = format_quantity(NIGHT, "temperature", units)
    words = f"The house after lesson 3 on the design night, {night} outside, with its door in the far end wall."
    return Picture(drawing, words, f"{cutaway.cutaway_words(section, (), stores, **case)} A door in the far end wall.")


@view(
    "The house with its cracks and its door",
    [
        Slider("rate", "Air changes in an ordinary wind", "air_change_rate", 0.2, 8.0, 3.0,
               steps={"metric": 0.1, "US": 0.1}),
        Slider("wind_speed", "Wind", "speed", 0.0, 13.4, CALM, steps={"metric": 0.2, "US": 1}),
        Slider("openings", "Door openings in an hour", "count", 0, MOST_OPENINGS, 2),
        Toggle("lobby", "Lobby at the door"),
    ],
)  # fmt: skip
def house(rate, wind_speed, openings, lobby, *, units):
    """Draw the demo house on the design night with its leaks and its door as arrows."""
    here, bill = house_bill(rate, wind_speed, openings, lobby)
    changes = here.air.air_change_rate
    leaks, door_loss = bill.watts("leaks"), bill.watts("door")
    rest = replace(bill, rows=tuple(row for row in bill.rows if row.key != "door"))
    flows = tuple(replace(flow, label=SHORT.get(flow.place, flow.label))
                  for flow in flows_of_bill(here, rest, strong={"leaks"}))  # fmt: skip
    section, stores = section_of(here), stores_of(here, {"drums": 6.0})
    case = {"inside": INSIDE, "outside": NIGHT, "units": units}
    drawing = cutaway.cutaway(section, flows, stores, **case, full_scale=3000.0, taken=[DOOR])
    drawing = _with_door(drawing, door_loss, openings, lobby, max(3000.0, *(f.watts for f in flows)), units)
    share = (leaks + door_loss) / bill.total
    words = f"The house changes its air {_rate(changes)} times an hour and loses {_watts(leaks, units)} by its cracks"
    way = "through its lobby" if lobby else "through its door"
    words += f" and {_watts(door_loss, units)} {way}: {share:.0%} of the whole {_watts(bill.total, units)}."
    told = f"The door, opened {openings} times an hour, {'with' if lobby else 'without'} a lobby, takes "
    description = f"{cutaway.cutaway_words(section, flows, stores, **case)} {told}{_watts(door_loss, units)}."
    numbers = {
        "lost by the cracks": _watts(leaks, units),
        "lost by the door": _watts(door_loss, units),
        "lost by the whole house": _watts(bill.total, units),
        "air changes in an hour": _rate(changes),
    }
    return Picture(drawing, words, description, numbers)


def _with_door(drawing, watts, openings, lobby, widest, units):
    """Add the door in the far end wall, the lobby behind it, and its loss as a dot that comes toward the reader."""
    x, y, wide, high = *DOOR[:2], DOOR[2] - DOOR[0], DOOR[3] - DOOR[1]
    pieces = [s.rect(x, y, wide, high, "wood", radius=1), s.rect(x, y, wide, high, None, "wood-dark", 2)]
    if lobby:
        near, far = (x + 4, y + 4, x + wide - 4, y + high - 2), (x + 14, y + 24, x + wide - 14, y + high - 16)
        pieces += [
            s.rect(x + 4, y + 4, wide - 8, high - 6, "panel", "wood-dark", 1),
            s.rect(x + 14, y + 24, wide - 28, high - 40, "wood", "wood-dark", 1.5),
            *(s.line(near[i], near[j], far[i], far[j], "wood-dark", 1) for i in (0, 2) for j in (1, 3)),
        ]
    else:
        pieces.append(s.tag("circle", cx=x + 8, cy=y + 80, r=3, style="fill:var(--hl-metal,#6e7781)"))
    if watts > 0:
        radius = max(watts / max(cutaway.WATTS_PER_POINT, widest / cutaway.WIDEST) / 2, 3)
        style = "fill:var(--hl-heat,#d55e00);stroke:var(--hl-paper,#ffffff);stroke-width:1"
        pieces.append(s.tag("circle", cx=x + wide / 2, cy=y + 58, r=radius, style=style))
        pieces.append(s.tag("circle", cx=x + wide / 2, cy=y + 58, r=max(radius / 4, 1.2),
                            style="fill:var(--hl-paper,#ffffff)"))  # fmt: skip
    name = "Lobby" if lobby else "Door"
    words = f"{name}, {openings}/h" if watts > 0 else name
    pieces.append(s.text(x + wide / 2, y + 104, words, anchor="middle", halo=True))
    if watts > 0:
        words = _watts(watts, units)
        pieces.append(s.text(x + wide / 2, y + 120, words, anchor="middle", bold=True, halo=True))
    return drawing.replace("</svg>", "".join(pieces) + "</svg>")


def flame_air(power, outside=INSIDE):
    """Give the fresh air that keeps the carbon dioxide of an unvented propane flame at the limit [m³/h].

    A clean flame is taken; carbon monoxide and lack of oxygen are not reckoned.
    """
    given_off = carbon_dioxide("propane", power * 3600.0, 1.0)
    density = 44.01 / 28.965 * air_density(outside, demo_house().place.elevation)
    return given_off / density / (CARBON_DIOXIDE_LIMIT - OUTDOOR_CARBON_DIOXIDE)


@view(
    "Cracks in wind and cold",
    [
        Choice("tightness", "The house is", tuple(CLASSES), "old_poor", labels=CLASSES),
        Slider("wind_speed", "Wind in the open", "speed", 0.0, 13.4, CALM, steps={"metric": 0.2, "US": 1}),
        Slider("outside", "Outside", "temperature", -30.0, -2.0, NIGHT, steps={"metric": 1, "US": 1}),
        Choice("shelter", "Trees and buildings around", ("none", "moderate", "complete"), "moderate",
               labels={"none": "none", "moderate": "some", "complete": "all round"}),
        Slider("flame", "Flame without a flue", "heat_flow", 0.0, 6000.0, 0.0, steps={"metric": 100, "US": 500}),
    ],
)  # fmt: skip
def wind(tightness, wind_speed, outside, shelter, flame, *, units):
    """Draw the heat that cracks let out against wind, for a class of house with its range."""
    difference = INSIDE - outside
    bounds = {bound: getattr(tables.entry("tightness", tightness, "air_change_rate"), bound)
              for bound in ("low", "value", "high")}  # fmt: skip
    speeds = [0.25 * k for k in range(57)]
    factors = [float(leak_factor(v, INSIDE, outside, shelter)) for v in speeds]
    unit = unit_of("heat_flow", units).label
    shown = [to_display(v, "speed", units) for v in speeds]
    names = {"high": "leakiest of its kind", "value": CLASSES[tightness], "low": "tightest of its kind"}

    def heat(rate):
        return to_display(rate * _change() * difference, "heat_flow", units)

    lines = [charts.Line(names[bound], tuple(shown), tuple(heat(bounds[bound] * f) for f in factors), style)
             for bound, style in (("high", 4), ("value", 1), ("low", 0))]  # fmt: skip
    changes = bounds["value"] * float(leak_factor(wind_speed, INSIDE, outside, shelter))
    lost = changes * _change() * difference
    point = (to_display(wind_speed, "speed", units), heat(changes), _watts(lost, units))
    need = flame_air(flame) / demo_house().volume
    limit = (heat(need), f"air for a flame of {_watts(flame, units)}") if flame else None
    across = charts.Axis(f"wind in the open, {unit_of('speed', units).label}", 0, shown[-1])
    up = charts.Axis(f"heat lost by cracks, {unit}", 0, 6000 if units == "metric" else 20000)
    if limit:
        up = up.holding([limit[0]])
    drawing = charts.lines(lines, across, up, point=point, limit=limit)
    sentence, numbers = _wind_words(CLASSES[tightness], wind_speed, outside, changes, lost, flame, need, units)
    ends = [_watts(bounds[b] * f * _change() * difference, units) for b, f in
            (("low", factors[0]), ("low", factors[-1]), ("high", factors[0]), ("high", factors[-1]))]  # fmt: skip
    description = (
        f"Three lines of heat lost by cracks over wind. The tightest of its kind rises from {ends[0]} in still air to "
        f"{ends[1]} in {stated(speeds[-1], 'speed', units)}, the leakiest from {ends[2]} to {ends[3]}. "
        f"{sentence}"
    )
    return Picture(drawing, sentence, description, numbers)


def _wind_words(kind, wind_speed, outside, changes, lost, flame, need, units):
    blows = f"In a wind of {stated(wind_speed, 'speed', units)}" if wind_speed else "In still air"
    cold = format_quantity(outside, "temperature", units)
    sentence = f"{blows}, at {cold}, the house ({kind}) changes its air {_rate(changes)} times an hour "
    sentence += f"and so loses {_watts(lost, units)}."
    numbers = {"air changes in an hour": _rate(changes), "lost by cracks": _watts(lost, units)}
    if flame:
        enough = (
            "more than the cracks let in"
            if need > changes
            else "less than the cracks let in now, yet no sum makes it safe"
        )
        sentence += f" A flame of {_watts(flame, units)} without a flue asks for {_rate(need)} changes, {enough}."
        numbers["air changes the flame asks for"] = _rate(need)
    return sentence, numbers


def _film_house(house):
    """Return the house with one more clear layer held under the south roof and the south wall."""
    for name in ("south roof", "south wall"):
        surface = house.surface(name)
        gap = float(air_gap_resistance(0.04, INSIDE, INSIDE - 10.0, surface.tilt))
        u = 1 / (1 / float(glazing_u_value(surface.glazing, "up" if surface.tilt < 60 else "horizontal")) + gap)
        house = house.changed(f"surfaces.{name}", replace(surface, glazing=None, u_value=u))
    return house


def _sheet_house(house):
    """Return the house with triple-wall sheet of 16 mm in place of the twin-wall on the south."""
    for name in ("south roof", "south wall"):
        house = house.changed(f"surfaces.{name}.glazing", "polycarbonate_triple_16")
    return house


RIVALS = {
    "film": ("one more film under the south panes", "one more film", _film_house),
    "sheet": ("triple-wall sheet on the south", "triple-wall sheet", _sheet_house),
}


@lru_cache
def _tight():
    return demo_house(3).changed("air.air_change_rate", SEALED)


@lru_cache
def rival_saving(rival, outside):
    """Give what another layer saves in the sealed house, without the heat in the vapour [W].

    ``rival`` is a key of :data:`RIVALS`.
    """
    return _bill(_tight(), outside).sensible - _bill(RIVALS[rival][2](_tight()), outside).sensible


def lobby_saving(seconds, outside):
    """Give what a lobby saves for each opening of the door in an hour, without the heat in the vapour [W]."""
    once = _tight().changed(**{"air.door_openings": 1.0, "air.door_seconds": seconds})
    return _bill(once, outside).sensible - _bill(once.changed("air.lobby", True), outside).sensible


@view(
    "A lobby, or another layer?",
    [
        Slider("openings", "Door openings in an hour", "count", 0, MOST_OPENINGS, 2),
        Slider("seconds", "Seconds it stays open each time", "count", 5, 30, 10),
        Slider("outside", "Outside", "temperature", -30.0, -2.0, NIGHT, steps={"metric": 1, "US": 1}),
        Choice("rival", "Compare the lobby with", tuple(RIVALS), "film", labels={k: v[0] for k, v in RIVALS.items()}),
    ],
)  # fmt: skip
def door(openings, seconds, outside, rival, *, units):
    """Draw what a lobby saves against the openings, with what another layer saves as a level line."""
    each, other = lobby_saving(seconds, outside), rival_saving(rival, outside)
    crossing, name = other / each, RIVALS[rival][0]
    unit = unit_of("heat_flow", units).label

    def heat(watts):
        return to_display(watts, "heat_flow", units)

    counts = (0.0, float(MOST_OPENINGS))
    rows = [charts.Line("a lobby", counts, tuple(heat(each * n) for n in counts), 0),
            charts.Line(RIVALS[rival][1], counts, (heat(other),) * 2, 1)]  # fmt: skip
    notes = [(crossing, heat(other), f"{_often(crossing)} an hour")] if crossing <= MOST_OPENINGS else []
    saved = each * openings
    drawing = charts.lines(
        rows, charts.Axis("door openings in an hour", 0, MOST_OPENINGS),
        charts.Axis(f"heat saved, {unit}", 0, 1500 if units == "metric" else 5000),
        point=(openings, heat(saved), f"now {_watts(saved, units)}"), notes=notes,
    )  # fmt: skip
    beats = "more" if saved > other else "less"
    sentence = (
        f"At {openings} openings an hour of {seconds:.0f} seconds a lobby saves {_watts(saved, units)}, {beats} than "
        f"{name} with {_watts(other, units)}; the two save the same at {_often(crossing)} openings an hour."
    )
    description = (
        f"A rising line, what a lobby saves: nothing without openings, {_watts(each * MOST_OPENINGS, units)} at "
        f"{MOST_OPENINGS} an hour. A level line, what {name} saves: {_watts(other, units)}. {sentence}"
    )
    numbers = {"saved by the lobby": _watts(saved, units), "saved by the other": _watts(other, units),
               "openings an hour at which they are equal": _often(crossing)}  # fmt: skip
    return Picture(drawing, sentence, description, numbers)
