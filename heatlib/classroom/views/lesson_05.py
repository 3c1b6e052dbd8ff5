"""Views of lesson 5: what moist air holds, why panes drip, and what drying the air costs."""

from dataclasses import replace
from functools import lru_cache

import numpy as np

from heatlib.classroom import charts, cutaway
from heatlib.classroom import svg as s
from heatlib.classroom.controls import stated
from heatlib.classroom.house_section import flows_of_bill, section_of, stores_of
from heatlib.classroom.picture import Picture
from heatlib.classroom.section import Frame
from heatlib.classroom.view import Choice, Slider, view
from heatlib.house.balance import run
from heatlib.house.bill import loss_bill
from heatlib.house.demo import DESIGN_NIGHT, demo_house
from heatlib.house.weather import design_night
from heatlib.moist_air import (
    dew_point,
    humidity_ratio,
    pressure_at,
    relative_humidity,
    saturation_humidity_ratio,
    specific_volume,
    wet_bulb,
)
from heatlib.moisture import pane_drip, pane_surface_temperature, ventilation_loss
from heatlib.units import format_quantity, to_display, unit_of

__all__ = ["VOLUME", "air_map", "design_course", "house", "pane", "still"]

VOLUME = demo_house().volume
PRESSURE = float(pressure_at(demo_house().place.elevation))
NIGHT = DESIGN_NIGHT["coldest"]
INSIDE = demo_house().limits.minimum
PLACES = {"sea": 0.0, "demo": demo_house().place.elevation, "hills": 1500.0, "mountain": 2500.0}
PANES = ((5.8, "old sash"), (3.3, "twin-wall"), (2.3, "triple-wall"))
"""U-values [W/m²·K] of :file:`glazings.csv` for salvaged glass, 8 mm twin-wall and 16 mm triple-wall sheet."""
HOURS = 12.0


def _show(value, quantity, units, digits=None):
    return format_quantity(value, quantity, units, digits=digits)


def _percent(share):
    return f"{share:.0%}" if share >= 0.095 or share == 0 else f"{share:.1%}"


@lru_cache(maxsize=256)
def _bill(inside, humidity, outside, rate):
    house = demo_house(4).changed("air.air_change_rate", rate)
    return house, loss_bill(house, inside, outside, humidity=humidity)


def still(units):
    """Draw the house after lesson 4, without its losses."""
    here = demo_house(4)
    section, stores = section_of(here), stores_of(here, {"drums": 6.0})
    case = {"inside": INSIDE, "outside": NIGHT, "units": units}
    drawing = cutaway.cutaway(section, (), stores, **case)
    words = f"The house after lesson 4 on the design night, {_show(NIGHT, 'temperature', units)} outside."
    return Picture(drawing, words, cutaway.cutaway_words(section, (), stores, **case))


@view(
    "The house and its moist air",
    [
        Slider("inside", "Inside", "temperature", 0.0, 22.0, INSIDE, steps={"metric": 1, "US": 1}),
        Slider("humidity", "Relative humidity inside", "humidity", 0.3, 1.0, 0.85, steps={"metric": 1, "US": 1}),
        Slider("outside", "Outside", "temperature", -28.0, -1.0, NIGHT, steps={"metric": 1, "US": 1}),
        Slider("rate", "Air changes", "air_change_rate", 0.2, 4.0, 0.35, steps={"metric": 0.05, "US": 0.05}),
    ],
)
def house(inside, humidity, outside, rate, *, units):
    """Draw the demo house with the heat that its vapour carries out as an arrow."""
    here, bill = _bill(inside, humidity, outside, rate)
    flows, section = flows_of_bill(here, bill, strong={"moisture"}), section_of(here)
    flows = tuple(replace(flow, label="Ends") if flow.place == "ends" else flow for flow in flows)
    stores = stores_of(here, {"drums": 6.0})
    case = {"inside": inside, "outside": outside, "units": units}
    drips = bill.watts("wet_panes")
    drawing = cutaway.cutaway(section, flows, stores, **case, full_scale=1500.0)
    drawing = drawing.replace("</svg>", _drops(section, drips, units) + "</svg>")
    dew = float(dew_point(inside, humidity, PRESSURE))
    out, lost = cutaway.watts_text(bill.watts("vapour_leaks"), units), cutaway.watts_text(bill.latent, units)
    way = "carries out" if bill.watts("vapour_leaks") >= 0 else "brings in"
    dripping = f"drips or frost on the panes cost {cutaway.watts_text(drips, units)}"
    wet = dripping if drips > 0.5 else "the panes stay dry"
    share = _percent(max(bill.latent, 0) / bill.total)
    sentence = (
        f"Vapour in the changed air {way} {out}, and {wet}: latent heat is {share} of all "
        f"{cutaway.watts_text(bill.total, units)}. The dew point is {_show(dew, 'temperature', units)}."
    )
    numbers = {
        "latent heat": ("" if bill.latent >= 0 else "gained ") + lost,
        "whole loss": cutaway.watts_text(bill.total, units),
        "dew point": _show(dew, "temperature", units),
    }
    description = f"{cutaway.cutaway_words(section, flows, stores, **case)} {sentence}"
    return Picture(drawing, sentence, description, numbers)


def _drops(section, watts, units):
    """Draw drops under the south panes, more of them where more heat drips, and what they cost in words."""
    if watts <= 0.5:
        return ""
    frame = Frame(section)
    ox, oy = frame.out_of_roof(1)
    count, pieces = int(min(18, 2 + watts / 12)), []
    for index in range(count):
        x, y = frame.on_roof((index + 0.5) / count, 1)
        x, y = x - ox * 19, y - oy * 19
        drop = [(x, y - 5), (x + 3.4, y + 2), (x, y + 5.5), (x - 3.4, y + 2)]
        pieces.append(s.path(drop, "water", "paper", 0.8, close=True))
    words = f"drips {cutaway.watts_text(watts, units)}"
    return "".join(pieces) + s.text(frame.right - 22, frame.eaves + 62, words, anchor="end", halo=True)


def _pane_area():
    return sum(surface.area for surface in demo_house().surfaces if surface.glazing)


@view(
    "Which pane drips?",
    [
        Slider("u_value", "U-value of the pane", "u_value", 0.8, 6.5, 3.3, steps={"metric": 0.1, "US": 0.01}),
        Slider("inside", "Inside", "temperature", 2.0, 22.0, 18.0, steps={"metric": 1, "US": 1}),
        Slider("humidity", "Relative humidity inside", "humidity", 0.3, 1.0, 0.8, steps={"metric": 1, "US": 1}),
        Slider("outside", "Outside", "temperature", -28.0, 10.0, -5.0, steps={"metric": 1, "US": 1}),
    ],
)
def pane(u_value, inside, humidity, outside, *, units):
    """Draw the temperature of a pane's inside against its U-value, dry and wet, with the dew point."""
    u_values = np.linspace(0.8, 6.5, 58)
    dry = np.asarray(pane_surface_temperature(u_values, inside, outside))
    wet = np.asarray(pane_drip(u_values, inside, humidity, outside, pressure=PRESSURE).surface_temperature)
    here = pane_drip(u_value, inside, humidity, outside, pressure=PRESSURE)
    surface, dew = here.surface_temperature, float(here.dew_point)
    lean = (inside - dew) / 0.13 / (inside - outside) if inside > outside else np.inf

    def degrees(value):
        return to_display(value, "temperature", units)

    shown = tuple(to_display(u_values, "u_value", units).tolist())
    rows = [charts.Line("dry pane", shown, tuple(degrees(dry).tolist()), 4),
            charts.Line("pane as it is", shown, tuple(degrees(wet).tolist()), 0)]  # fmt: skip
    label = _show(surface, "temperature", units)
    notes = [(to_display(u, "u_value", units), degrees(float(np.interp(u, u_values, wet))), name) for u, name in PANES
             if abs(u - u_value) > 0.8]  # fmt: skip
    limits = (-15.0, 25.0) if units == "metric" else (0.0, 80.0)
    drawing = charts.lines(
        rows, charts.Axis(f"U-value of the pane, {unit_of('u_value', units).label}", shown[0], shown[-1]),
        charts.Axis(f"inside of the pane, {unit_of('temperature', units).label}", *limits),
        point=(to_display(u_value, "u_value", units), degrees(surface), label),
        limit=(degrees(dew), f"dew point {_show(dew, 'temperature', units)}"), notes=notes,
    )  # fmt: skip
    sentence, numbers = _pane_words(u_value, here, lean, units)
    description = (
        f"Two lines of the pane's inside temperature over its U-value. The dry one falls straight from "
        f"{_show(float(dry[0]), 'temperature', units)} to {_show(float(dry[-1]), 'temperature', units)}; the other "
        "leaves it where the pane is colder than the dew point and ends at "
        f"{_show(float(wet[-1]), 'temperature', units)}. {sentence}"
    )
    return Picture(drawing, sentence, description, numbers)


def _pane_words(u_value, here, lean, units):
    surface, dew = (_show(t, "temperature", units) for t in (here.surface_temperature, float(here.dew_point)))
    numbers = {"inside of the pane": surface, "dew point": dew}
    start = f"A pane of {stated(u_value, 'u_value', units)} is {surface} inside, and the dew point is {dew}: "
    if here.rate > 0:
        water = _show(here.rate * 3600 * HOURS * _pane_area(), "vapour_mass", units)
        sentence = start + f"{'it drips' if here.surface_temperature >= 0 else 'frost grows on it'}. "
        sentence += f"If all panes of the house were like it, they would gather {water} in {HOURS:.0f} hours "
        sentence += "while the air stays as damp. "
        numbers[f"water on all panes in {HOURS:.0f} hours"] = water
    else:
        sentence = start + "it stays dry. "
    if lean < 0.05:
        sentence += "In air so damp no pane stays dry."
    elif lean < 6.5:
        sentence += f"Below {_show(lean, 'u_value', units)} a pane stays dry."
        numbers["largest U-value that stays dry"] = _show(lean, "u_value", units)
    else:
        sentence += "No pane of the chart drips."
    return sentence, numbers


@view(
    "A map of moist air",
    [
        Slider("inside", "Inside", "temperature", 2.0, 25.0, 10.0, steps={"metric": 1, "US": 1}),
        Slider("humidity", "Relative humidity inside", "humidity", 0.2, 1.0, 0.85, steps={"metric": 1, "US": 1}),
        Slider("outside", "Outside", "temperature", -28.0, 25.0, 0.0, steps={"metric": 1, "US": 1}),
        Slider("outside_humidity", "Relative humidity outside", "humidity", 0.2, 1.0, 1.0,
               steps={"metric": 1, "US": 1}),
        Choice("place", "The house stands", tuple(PLACES), "demo",
               labels={"sea": "at the sea", "demo": {"metric": "at 350 m", "US": "at 1150 ft"},
                       "hills": {"metric": "at 1500 m", "US": "at 4900 ft"},
                       "mountain": {"metric": "at 2500 m", "US": "at 8200 ft"}}),
    ],
)  # fmt: skip
def air_map(inside, humidity, outside, outside_humidity, place, *, units):
    """Draw inside and outside air on a map of temperature and water carried, with what one air change costs."""
    pressure = float(pressure_at(PLACES[place]))
    degrees = np.linspace(-30.0, 26.0, 57)
    most = np.asarray(saturation_humidity_ratio(degrees, pressure)) * 1000
    half = np.asarray(humidity_ratio(degrees, 0.5, pressure)) * 1000
    held, coming = (1000 * float(humidity_ratio(t, rh, pressure)) for t, rh in
                    ((inside, humidity), (outside, outside_humidity)))  # fmt: skip
    shown = tuple(to_display(degrees, "temperature", units).tolist())

    def at(value):
        return to_display(value, "temperature", units)

    dew = float(dew_point(inside, humidity, pressure))
    rows = [
        charts.Line("100%: fog", shown, tuple(most.tolist()), 0),
        charts.Line("50%", shown, tuple(half.tolist()), 4),
    ]
    notes = [(at(outside), coming, "outside"), (at(dew), held, "")]
    level = (held, f"meets the fog line at the dew point, {_show(dew, 'temperature', units)}")
    drawing = charts.lines(
        rows, charts.Axis(f"temperature, {unit_of('temperature', units).label}", shown[0], shown[-1]),
        charts.Axis("parts of water to 1000 parts of dry air, by weight", 0, 30),
        point=(at(inside), held, "inside"), limit=level, notes=notes,
    )  # fmt: skip
    sentence, numbers = _map_words(inside, humidity, outside, outside_humidity, pressure, held, coming, units)
    numbers["dew point inside"] = _show(dew, "temperature", units)
    numbers["wet bulb inside"] = _show(float(wet_bulb(inside, humidity, pressure)), "temperature", units)
    description = (
        f"A map of temperature and water in the air. The fog line climbs from {most[0]:.1f} parts of water at "
        f"{_show(-30.0, 'temperature', units)} to {most[-1]:.1f} at {_show(26.0, 'temperature', units)}. Inside air "
        f"has {held:.1f} parts, outside air {coming:.1f}. {sentence}"
    )
    return Picture(drawing, sentence, description, numbers)


def _map_words(inside, humidity, outside, outside_humidity, pressure, held, coming, units):
    air = VOLUME / float(specific_volume(inside, humidity, pressure))
    sensible, latent = ventilation_loss(VOLUME, 1.0, inside, humidity, outside, outside_humidity, pressure)
    if coming <= 1000 * float(saturation_humidity_ratio(inside, pressure)):
        share = _percent(float(relative_humidity(inside, coming / 1000, pressure)))
        becomes = f"has {'only ' if inside > outside else ''}{share} relative humidity"
    else:
        becomes = "can't hold its water: it fogs"
    water = (held - coming) / 1000 * air
    moved = _show(abs(water), "vapour_mass", units, 2)
    much = f"{moved} of water" if abs(water) >= 0.01 or water == 0 else "next to no water"
    way = "takes out" if water > 0 else "brings in" if water < 0 else "moves"
    verbs = ["costs" if heat >= 0 else "brings" for heat in (sensible, latent)]
    amounts = [_show(abs(heat), "heat_flow", units) for heat in (sensible, latent)]
    second = "" if verbs[0] == verbs[1] else f"{verbs[1]} "
    sentence = (
        f"Outside air of {_show(outside, 'temperature', units)} and {_percent(outside_humidity)}, brought to "
        f"{_show(inside, 'temperature', units)}, {becomes}. One change of all the air {way} {much}; "
        f"once an hour it {verbs[0]} {amounts[0]} of sensible and {second}{amounts[1]} of latent heat."
    )
    numbers = {"sensible heat": _show(sensible, "heat_flow", units), "latent heat": _show(latent, "heat_flow", units),
               "together": _show(sensible + latent, "heat_flow", units), f"water it {way}": moved}  # fmt: skip
    return sentence, numbers


@lru_cache
def design_course(after_lesson):
    """Run the demo house through the design night and the two days before it, with its water followed."""
    place = demo_house().place
    night = design_night(
        place.latitude, "2025-01-20", minimum=NIGHT, maximum=DESIGN_NIGHT["warmest"], longitude=place.longitude,
        utc_offset=place.utc_offset, elevation=place.elevation,
    )  # fmt: skip
    return run(demo_house(after_lesson), night)
