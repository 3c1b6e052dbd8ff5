"""Views of lesson 1: the drums in the house, the same volume of other stores, and a tank in the frost."""

import math
from dataclasses import dataclass
from functools import lru_cache

from heatlib import tables
from heatlib.classroom import svg as s
from heatlib.classroom.charts import Axis, Line, comparison, lines
from heatlib.classroom.controls import stated
from heatlib.classroom.cutaway import GROUND, cutaway, cutaway_words
from heatlib.classroom.house_section import flows_of_bill, section_of, stores_of
from heatlib.classroom.picture import Picture
from heatlib.classroom.section import Frame
from heatlib.classroom.view import Choice, Slider, view
from heatlib.classroom.views.lesson_05 import design_course
from heatlib.conduction import layer_resistance, series, u_value
from heatlib.house.bill import loss_bill
from heatlib.house.demo import DESIGN_NIGHT, DRUM, demo_house
from heatlib.storage import FREEZING_HEAT, heat_content, store_mass, water_enthalpy
from heatlib.surfaces import barrel_surface, surface_coefficient
from heatlib.units import format_quantity, to_display, unit_of

__all__ = [
    "NIGHT",
    "TankCourse",
    "design_course",
    "drums_in_house",
    "house",
    "same_volume",
    "tank",
    "tank_conductance",
    "tank_course",
]

NIGHT = 14 * 3600.0
"""Hours over which the drums give their heat back; a long winter night, a stated case [s]."""
FULL = 40.0
"""Temperature at which a drum is drawn full of heat [°C]."""

FOOT, SCALE, DIAMETER, LENGTH = 186.0, 78.0, 0.572, 6.0
"""Where the drums stand in the drawing of the demo house [points], its scale [points/m], and drum and house [m]."""
WATTS_PER_POINT, WIDEST = 500.0, 44.0
"""What the arrow beside the drums stands for, and its greatest width; drums can give far more than a house loses."""

STORES = {
    "granite": "solid granite",
    "gravel": "loose gravel",
    "soil_moist": "moist soil",
    "concrete": "concrete",
    "brick": "brick",
    "softwood": "wood",
    "air": "air",
}
"""What water is compared with, and the words for it."""

HEAVIEST = 4.0
"""Temperature at which water is heaviest [°C]."""
TANK_START, THERMOSTAT = 8.0, 3.0
"""Water in the tank at the beginning, and where its heater's thermostat is set [°C]."""
TANK_SHAPE = 1.5
"""Height of the tank over its diameter, as of a drum [–]."""
SHOWN_HOURS = 168.0


def _show(value, quantity, units, digits=None):
    return format_quantity(value, quantity, units, digits=digits)


@lru_cache
def _bill():
    return loss_bill(demo_house(), demo_house().limits.minimum, DESIGN_NIGHT["coldest"])


def house(units):
    """Draw the bare demo house on the design night, with what it loses by each path."""
    bare, bill = demo_house(), _bill()
    section, flows = section_of(bare), flows_of_bill(bare, bill)
    case = dict(inside=bare.limits.minimum, outside=DESIGN_NIGHT["coldest"], units=units)
    return Picture(
        cutaway(section, flows, **case),
        f"At {_show(case['outside'], 'temperature', units)} outside and {_show(case['inside'], 'temperature', units)} "
        f"inside, the bare house loses {_show(bill.total, 'heat_flow', units)}.",
        cutaway_words(section, flows, **case),
        {"lost in all": _show(bill.total, "heat_flow", units)},
    )


@view(
    title="Drums in the club's house",
    controls=[
        Slider("drums", "Drums of water", "count", 0, 30, 9),
        Slider("evening", "Water in the evening", "temperature", 5.0, 40.0, 20.0, {"metric": 1, "US": 1}),
        Slider("morning", "Water in the morning", "temperature", -10.0, 20.0, 5.0, {"metric": 1, "US": 1}),
    ],
)
def drums_in_house(drums, evening, morning, units):
    """Draw the drums in the house with what they gave back by the morning, and what they weigh."""
    heat = heat_content("water", drums * DRUM, morning, evening) if drums else 0.0
    power, each = heat / NIGHT, _full_drum()
    now = demo_house(after_lesson=1).changed("stores.drums.count", drums)
    section = section_of(now)
    flows = flows_of_bill(now, _bill(), strong=())
    ice = {"drums": 1.0 if morning < 0 else 0.0}
    stores = stores_of(now, {"drums": morning}, full=FULL, ice=ice)
    case = dict(inside=now.limits.minimum, outside=DESIGN_NIGHT["coldest"], units=units)
    svg = cutaway(section, flows, stores, **case)
    if drums:
        svg = svg.replace("</svg>", _beside_drums(drums, power, each, Frame(section).right - 8, units) + "</svg>")
    return Picture(
        svg,
        _drums_sentence(drums, evening, morning, heat, units),
        f"{cutaway_words(section, flows, stores, **case)} Each full drum weighs {_show(each, 'mass', units)}. "
        f"Through the night the drums give {_show(power, 'heat_flow', units)}.",
        {
            "heat given back": _show(heat, "heat_in_store", units),
            "mean over the night": _show(power, "heat_flow", units),
            "hours of the house's loss": _show(max(heat, 0.0) / _bill().total, "time", units, 2),
            "weight of all drums": _show(drums * each, "mass", units),
            "load on the floor under a drum": _show(each / (math.pi / 4 * DIAMETER**2), "floor_load", units, 2),
        },
    )


def _beside_drums(drums, power, each, right, units):
    """Write under the drums what each weighs, and beside them what they give."""
    rows = math.ceil(drums * DIAMETER / LENGTH)
    end = FOOT + rows * (DIAMETER * SCALE + 3)
    pieces = [s.text(FOOT, GROUND + 18, f"{_show(each, 'mass', units)} each", bold=True, halo=True)]
    if power > 0:
        wide = min(max(power / WATTS_PER_POINT, 2.0), WIDEST)
        pieces.append(s.arrow(end + 2, GROUND - 36, end + 38, GROUND - 36, wide, "water"))
        words, beside = "from the drums", end + 44
        room = beside + s.text_width(words) < right
        x, y, anchor = (beside, GROUND - 40, "start") if room else (right, GROUND - 92, "end")
        pieces.append(s.text(x, y, words, anchor=anchor, halo=True))
        pieces.append(s.text(x, y + 16, _show(power, "heat_flow", units), anchor=anchor, bold=True, halo=True))
    return "".join(pieces)


def _full_drum():
    """Weigh a full drum [kg]."""
    return store_mass("water", DRUM) + tables.entry("heat_sources", "drum", "empty_mass").value


def _drums_sentence(drums, evening, morning, heat, units):
    warm, cold = (_show(t, "temperature", units) for t in (evening, morning))
    number = f"{drums} drum{'' if drums == 1 else 's'} from {warm} to {cold}"
    amount = _show(abs(heat), "heat_in_store", units)
    if heat <= 0:
        return f"{number}: nothing comes back, {amount} is needed to warm them." if heat else f"{number}: {amount}."
    hours = _show(heat / _bill().total, "time", units, 2)
    text = f"{number} give{'s' if drums == 1 else ''} back {amount}: as much as the house loses in {hours}."
    if morning < 0:
        frozen = FREEZING_HEAT * store_mass("water", drums * DRUM)
        text += f" Of it, {frozen / heat:.0%} comes from freezing solid."
    return text


@view(
    title="The same volume of something else",
    controls=[
        Choice("material", "Compare water with", STORES, "granite", STORES),
        Slider("volume", "Volume of each store", "store_volume", 0.05, 2.0, DRUM, {"metric": 2, "US": 1}),
        Slider("warm", "Warm temperature", "temperature", 10.0, 40.0, 20.0, {"metric": 1, "US": 1}),
        Slider("cold", "Cold temperature", "temperature", -10.0, 9.0, 5.0, {"metric": 1, "US": 1}),
    ],
)
def same_volume(material, volume, warm, cold, units):
    """Draw what the same volume of eight stores gives back between two temperatures."""
    heats = {name: heat_content(name, volume, cold, warm) for name in ("water", *STORES)}
    names = {"water": "water"} | STORES
    unit = unit_of("heat_in_store", units).label
    shown = [
        ("▸ " * (name == material) + names[name], float(to_display(heat, "heat_in_store", units)))
        for name, heat in heats.items()
    ]
    top = _round_up(float(to_display(heat_content("water", volume, 0.0, 20.0), "heat_in_store", units)))
    size = stated(volume, "store_volume", units)
    span = f"{_show(warm, 'temperature', units)} to {_show(cold, 'temperature', units)}"
    needed = volume * heats["water"] / heats[material]
    text = (
        f"From {span}, {size} of water give {_show(heats['water'], 'heat_in_store', units)}. "
        f"{STORES[material][0].upper()}{STORES[material][1:]} needs {_show(needed, 'store_volume', units)} for that."
    )
    numbers = {
        "heat from the water": _show(heats["water"], "heat_in_store", units),
        "heat from the other store": _show(heats[material], "heat_in_store", units),
        "weight of the water": _show(store_mass("water", volume), "mass", units),
        "weight of the other store for as much heat": _show(needed * store_mass(material, 1.0), "mass", units),
    }
    if cold < 0:
        frozen = FREEZING_HEAT * store_mass("water", volume)
        text += f" Freezing is {frozen / heats['water']:.0%} of what the water gives."
        numbers["water's heat of freezing"] = _show(frozen, "heat_in_store", units)
    listed = ", ".join(f"{names[name]} {_show(heat, 'heat_in_store', units)}" for name, heat in heats.items())
    return Picture(
        comparison(shown, unit, top, title=f"Heat given back by {size} from {span}", kind="barrels"),
        text,
        f"Drums as high as the heat that {size} of each store gives back from {span}: {listed}.",
        numbers,
    )


def _round_up(value):
    power = 10.0 ** math.floor(math.log10(value))
    return next(power * nice for nice in (1, 2, 5, 10) if power * nice >= value)


def tank_conductance(volume, around, foam):
    """Return what a standing tank loses for each degree: its skin, the foam on it, and the film of air [W/K].

    The bottom stands on the ground and is left out.
    """
    diameter = (4 * volume / (math.pi * TANK_SHAPE)) ** (1 / 3)
    height = TANK_SHAPE * diameter
    film = 1 / surface_coefficient(0.0, around, height)
    k = tables.entry("materials", "eps", "conductivity").value
    resistance = series(film, layer_resistance(foam, k)) if foam else film
    return barrel_surface(diameter, height) * u_value(resistance)


@dataclass(frozen=True)
class TankCourse:
    """How a tank goes on in steady cold: times [s] are infinite where they never come, temperatures [°C]."""

    first_ice: float
    frozen: float
    floats: float
    """When the water is so cold that colder water floats on it; from then on still water can freeze on top [s]."""
    settles: float
    """Where the water ends after a long time [°C]."""
    share_of_time: float
    """Share of the time for which the heater is on in the end [0–1]."""
    at: object
    """Function from time [s] to temperature [°C]."""


def tank_course(volume, around, conductance, power):
    """Follow a tank from :data:`TANK_START` in air that stays at ``around``, with a heater on a thermostat.

    Closed form: an exponential to the thermostat, another to freezing, a halt while all of it freezes, one of ice.
    The water has one temperature, and its ice does not insulate it.
    """
    mass = store_mass("water", volume)
    rate = conductance / (mass * water_enthalpy(TANK_START) / TANK_START)
    ice_rate = conductance / (mass * (water_enthalpy(-1e-9) - water_enthalpy(-10.0)) / 10.0)
    on = THERMOSTAT if power else TANK_START
    begins = math.log((TANK_START - around) / (on - around)) / rate
    needed = conductance * (THERMOSTAT - around)
    held = power >= needed
    end = on if held else around + power / conductance
    freezes = end < 0
    first = begins + math.log((on - end) / -end) / rate if freezes else math.inf
    frozen = first + mass * FREEZING_HEAT / (conductance * -end) if freezes else math.inf

    def at(time):
        if time < begins:
            return around + (TANK_START - around) * math.exp(-rate * time)
        if time < first:
            return end + (on - end) * math.exp(-rate * (time - begins))
        return end * (1 - math.exp(-ice_rate * (time - frozen))) if time > frozen else 0.0

    share = 0.0 if not power else min(needed / power, 1.0)
    floats = math.log((TANK_START - around) / (HEAVIEST - around)) / rate if freezes else math.inf
    return TankCourse(first, frozen, floats, end, share, at)


@view(
    title="The tank for the drip lines in a long frost",
    controls=[
        Slider("volume", "Water in the tank", "store_volume", 0.02, 1.0, 0.2, {"metric": 10, "US": 2}),
        Slider("around", "Air around the tank", "temperature", -30.0, -2.0, -12.0, {"metric": 1, "US": 1}),
        Slider("foam", "Foam wrapped round it", "thickness", 0.0, 0.1, 0.0, {"metric": 5, "US": 0.25}),
        Slider("power", "Heater in the water", "electric_power", 0.0, 500.0, 0.0, {"metric": 25, "US": 25}),
    ],
)
def tank(volume, around, foam, power, units):
    """Draw the temperature of the tank over a week of frost, with its heater and without."""
    conductance = tank_conductance(volume, around, foam)
    now, bare = tank_course(volume, around, conductance, power), tank_course(volume, around, conductance, 0.0)
    hours = tuple(SHOWN_HOURS * n / 240 for n in range(241))

    def degrees(course):
        return tuple(float(to_display(course.at(3600 * hour), "temperature", units)) for hour in hours)

    rows = [Line("with heater" if power else "water", hours, degrees(now), 0)]
    if power:
        rows.append(Line("no heater", hours, degrees(bare), 4))
    low, high = (float(to_display(t, "temperature", units)) for t in (-30.0, 10.0))
    freezing = float(to_display(0.0, "temperature", units))
    unit = unit_of("temperature", units).label
    svg = lines(rows, Axis("Hours of frost", 0, SHOWN_HOURS), Axis(f"Water, {unit}", low, high),
                limit=(freezing, "water freezes"))  # fmt: skip
    cold = _show(around, "temperature", units)
    case = f"{stated(volume, 'store_volume', units)} at {_show(TANK_START, 'temperature', units)} in air of {cold}"
    loss = conductance * -around
    numbers = {
        "loss while it freezes": _show(loss, "heat_flow", units),
        "first ice": _when(now.first_ice),
        "ice on top at the earliest": _when(now.floats),
        "frozen through": _when(now.frozen),
        "first ice without heater": _when(bare.first_ice),
    }
    if power:
        daily = now.share_of_time * power * 24 * 3600.0
        numbers["heater's electricity in a day"] = _show(daily, "electric_energy", units, 2)
    return Picture(
        svg,
        f"{case}: {_tank_words(now, power, units)}.",
        f"Temperature of the water over {SHOWN_HOURS:.0f} hours, {case}, with {stated(foam, 'thickness', units)} of "
        f"foam and a heater of {stated(power, 'electric_power', units)}. First ice: {_when(now.first_ice)}; "
        f"frozen through: {_when(now.frozen)}. It halts at {_show(0.0, 'temperature', units)} while it freezes.",
        numbers,
    )


def _when(seconds):
    return "never" if math.isinf(seconds) else f"after {seconds / 3600:,.0f} h".replace(",", "\u202f")


def _tank_words(course, power, units):
    if not math.isinf(course.first_ice):
        return f"first ice {_when(course.first_ice)}, frozen through {_when(course.frozen)}"
    if course.share_of_time < 1:
        held = _show(THERMOSTAT, "temperature", units)
        return f"the heater holds {held} and runs {course.share_of_time:.0%} of the time"
    settles = _show(course.settles, "temperature", units)
    return f"the heater runs all the time, and the water settles at {settles}"
