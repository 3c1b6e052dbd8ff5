"""What the tasks beside the live views of lessons 1 to 5 come to: folded below each view, always computed."""

import math
from functools import lru_cache, partial

import numpy as np

from heatlib.classroom.views import lesson_01, lesson_02, lesson_03, lesson_04, lesson_05
from heatlib.glazing import glazing_u_value, pieced_u_value
from heatlib.house.bill import loss_bill
from heatlib.house.demo import DESIGN_NIGHT, DRUM
from heatlib.moist_air import dew_point, humidity_ratio, relative_humidity, saturation_humidity_ratio
from heatlib.moisture import pane_surface_temperature
from heatlib.storage import heat_content
from heatlib.units import format_quantity, from_display, to_display

__all__ = ["answers_to", "register", "stops", "writer"]

NIGHT, INSIDE = DESIGN_NIGHT["coldest"], 2.0
_ANSWERS = {}


def answers_to(view_function):
    """Return the function ``f(units)`` that answers the tasks of a view as ``{"Find": sentence, …}``.

    Parameters
    ----------
    view_function : function
        A view of a lesson [–].

    Returns
    -------
    function
        From ``"metric"`` or ``"US"`` to a dict of sentences [text].

    Raises
    ------
    ValueError
        If the tasks of that view have no answers here.
    """
    if view_function not in _ANSWERS:
        from heatlib.classroom import answers_later  # noqa: F401 -- registers lessons 6 to 10, loaded only for them
    if view_function not in _ANSWERS:
        raise ValueError(f"no answers are written for the tasks of {view_function.__name__}")
    return _ANSWERS[view_function]


def register(view_function):
    """Decorate the function ``f(units)`` that answers the tasks of a view."""

    def keep(write):
        _ANSWERS[view_function] = write
        return write

    return keep


def writer(units):
    """Return ``f(value, quantity, digits=2)`` that writes a rounded number in the reader's units."""

    def write(value, quantity, digits=2):
        return format_quantity(value, quantity, units, digits=digits)

    return write


def _slider(view_function, name):
    return next(control for control in view_function.spec.controls if control.name == name)


def stops(view_function, name, units):
    """Return the values at which a slider can stand, in SI."""
    control = _slider(view_function, name)
    low, high = (to_display(end, control.quantity, units) for end in (control.low, control.high))
    step = (control.steps or {}).get(units, 1)
    shown = np.unique(np.clip(np.arange(math.ceil(low / step), math.floor(high / step) + 1) * step, low, high))
    return [float(from_display(value, control.quantity, units)) for value in shown]


@register(lesson_01.drums_in_house)
def _drums(units):
    show, loss = writer(units), lesson_01._bill().total
    count = math.ceil(lesson_01.NIGHT * loss / heat_content("water", DRUM, 5.0, 20.0))
    above, below = (heat_content("water", 9 * DRUM, morning, 20.0) for morning in (1.0, -1.0))
    return {
        "Find": f"{count} drums last the night, cooling from {show(20, 'temperature')} to {show(5, 'temperature')}.",
        "Push": f"Nine drums give {show(above, 'heat_in_store')} down to {show(1, 'temperature')}, and "
        f"{show(below, 'heat_in_store')} down to {show(-1, 'temperature')}: between the two lies the freezing.",
        "Why": "The same water gives up the same heat for each degree. At the freezing point it gives heat and gets no "
        "colder.",
    }


@register(lesson_01.same_volume)
def _stores(units):
    show = writer(units)
    water, *heats = (heat_content(name, DRUM, 5.0, 20.0) for name in ("water", *lesson_01.STORES))
    best = max(range(len(heats)), key=heats.__getitem__)
    name = list(lesson_01.STORES)[best]
    frozen, stone = (heat_content(store, DRUM, -5.0, 20.0) for store in ("water", name))
    return {
        "Find": f"{lesson_01.STORES[name].capitalize()}, with {heats[best] / water:.0%} of what water gives: much of "
        "it is water.",
        "Push": f"Down to {show(-5, 'temperature')} the water gives {frozen / water:.1f} times as much as down to "
        f"{show(5, 'temperature')}, {lesson_01.STORES[name]} only {stone / heats[best]:.1f} times.",
        "Why": "Above freezing each degree counts the same for a store. A longer fall stretches all bars alike.",
    }


@register(lesson_01.tank)
def _tank(units):
    show = writer(units)
    bare, wrapped = (lesson_01.tank_conductance(0.2, -12.0, foam) for foam in (0.0, 0.1))
    powers = stops(lesson_01.tank, "power", units)
    smallest = next(p for p in powers if math.isinf(lesson_01.tank_course(0.2, -12.0, bare, p).first_ice))
    to_hold = wrapped * (lesson_01.THERMOSTAT + 12.0)
    return {
        "Find": f"{show(smallest, 'electric_power', 3)}: at the freezing point the tank loses "
        f"{show(bare * 12, 'electric_power', 3)}.",
        "Push": f"With {show(0.1, 'thickness')} of foam {show(to_hold, 'electric_power')} hold the set point; "
        f"bare it takes {show(bare * (lesson_01.THERMOSTAT + 12.0), 'electric_power')}.",
        "Why": "The heat of freezing has to leave first, and the water stays at the freezing point until it has. "
        "Then the ice cools, and ice takes only half the heat of water for each degree.",
    }


@register(lesson_02.layers)
def _layers(units):
    show, lay = writer(units), partial(lesson_02.pane_layers, inside=INSIDE, outside=NIGHT)

    def resists(panes, glass=0.004, gap=0.020, wind=4.0):
        return sum(lay(panes, glass, gap, wind).resistances)

    gaps = stops(lesson_02.layers, "gap", units)
    most = max(resists("film", gap=gap) for gap in gaps)
    wide = next(gap for gap in gaps if resists("film", gap=gap) > 0.98 * most)
    thick = [1 - resists(panes, 0.002) / resists(panes, 0.020) for panes in ("one", "three")]
    windy = [resists(panes, wind=0.0) / resists(panes, wind=12.0) - 1 for panes in ("one", "three")]
    return {
        "Find": f"At {show(wide, 'thickness')} the gap is as good as it gets, near enough.",
        "Push": f"Ten times the glass saves {thick[0]:.0%} with one pane and {thick[1]:.0%} with three.",
        "Why": f"Each band is drawn as wide as it resists. From still air to strong wind one pane loses {windy[0]:.0%} "
        f"more, three panes {windy[1]:.0%}: the film that wind strips is much of what one pane has.",
    }


@register(lesson_02.patchwork)
def _patchwork(units):
    show = writer(units)
    sash, film, twin, odd = map(
        glazing_u_value, ("glass_salvaged", "glass_and_film", "polycarbonate_twin_8", "acrylic_single")
    )
    before, after = (pieced_u_value([(u, 8.0), (twin, 5.0), (odd, 2.0)]) for u in (sash, film))
    small = pieced_u_value([(sash, 0.5), (twin, 8.0)])
    return {
        "Find": f"About {show(5 * twin / sash, 'area')}, for the sheet loses {twin / sash:.0%} as much for its size.",
        "Push": f"The mean falls from {show(before, 'u_value')} to {show(after, 'u_value')}, "
        f"by {1 - after / before:.0%}.",
        "Why": f"It counts by its area. {show(0.5, 'area')} of sash beside {show(8.0, 'area')} of sheet raises the "
        f"mean by only {small / twin - 1:.0%}.",
    }


@register(lesson_02.house)
def _panes(units):
    show = writer(units)

    def total(**changes):
        case = {"sheet": "polycarbonate_twin_8", "layer": "bare", "count": 6} | changes
        return loss_bill(lesson_02.glazed_house(**case), INSIDE, NIGHT, 1.0).total

    bare = total()
    film, second, sheet = (
        bare - total(**change)
        for change in ({"layer": "film"}, {"layer": "second"}, {"sheet": "polycarbonate_twin_16"})
    )
    worse = total(sheet="film_single") - bare
    return {
        "Find": f"The thicker sheet saves {show(sheet, 'heat_flow')}, a film on the sashes {show(film, 'heat_flow')}, "
        f"a second sash {show(second, 'heat_flow')}. But film costs least.",
        "Push": f"A single film in place of the sheet costs {show(worse, 'heat_flow')} more.",
        "Why": "Sheet saves more only because there is so much of it. For each bit of area the sash gains more.",
    }


@register(lesson_03.thickness)
def _foam(units):
    show, wall = writer(units), partial(lesson_03.wall_u_value, "eps")
    quarter = next(d for d in stops(lesson_03.thickness, "depth", units) if wall(d, 0.12) <= wall(0.0) / 4)
    four, thick, sound = wall(0.1, 0.12, 0.1), wall(0.25, 0.12, 0.1), wall(0.1, 0.12)
    return {
        "Find": f"About {show(quarter, 'thickness')}, with the studs.",
        "Push": f"No thickness on the slider does. With a tenth left empty {show(0.1, 'thickness')} leaves "
        f"{four / wall(0.0):.0%} and {show(0.25, 'thickness')} still {thick / wall(0.0):.0%}; "
        f"without holes {show(0.1, 'thickness')} leaves {sound / wall(0.0):.0%}.",
        "Why": "Each inch adds the same to R. But the loss goes with one divided by R, and R is large by then.",
    }


@lru_cache
def _walls_save(walls, depth=lesson_03.INCH, drawn=False, edges=0.0):
    bills = (
        loss_bill(lesson_03.foamed_house(*case), INSIDE, NIGHT).total
        for case in (("none", "eps", depth, 0.12, False, 0.0), (walls, "eps", depth, 0.12, drawn, edges))
    )
    return next(bills) - next(bills)


@register(lesson_03.house)
def _walls(units):
    show, edges = writer(units), _slider(lesson_03.house, "edges").high
    each = {words: _walls_save(name) for name, words in lesson_03.WALLS.items() if name not in ("none", "all")}
    best = max(each, key=each.get)
    listed = "; ".join(f"{words} {show(saved, 'heat_flow')}" for words, saved in each.items())
    tight, loose = (_walls_save("none", drawn=True, edges=part) for part in (0.0, edges))
    everywhere, thick = _walls_save("all"), _walls_save("north_roof", 6 * lesson_03.INCH)
    return {
        "Find": f"{best[0].upper()}{best[1:]}. An inch saves: {listed}.",
        "Push": f"A tight curtain saves {show(tight, 'heat_flow')}. With {edges:.0%} of the panes left open, "
        f"{show(loose, 'heat_flow')} remain.",
        "Why": f"An inch everywhere saves {show(everywhere, 'heat_flow')}, six inches in the north roof alone "
        f"{show(thick, 'heat_flow')}: the second inch of a wall meets far less loss than the first inch of the next.",
    }


def _leaky(rate=3.0, wind=1.0, openings=2, lobby=False):
    return lesson_04.house_bill(rate, wind, openings, lobby)[1]


@register(lesson_04.house)
def _cracks(units):
    show = writer(units)
    calm, storm = _leaky(), _leaky(wind=13.4)
    grown = {row.key: storm.watts(row.key) - row.watts for row in calm.rows}
    most = max(grown, key=grown.get)
    name = "that of the cracks" if most == "leaks" else next(row.label for row in calm.rows if row.key == most)
    kept = [_leaky(openings=n).watts("door") - _leaky(openings=n, lobby=True).watts("door") for n in (2, 40)]
    return {
        "Find": f"{3.0 / 2:.1f} an hour: half the changes, half the loss.",
        "Push": f"Whatever wind touches grows, {name} most: by {show(grown[most], 'heat_flow')}.",
        "Why": f"It saves something each time the door opens: {show(kept[0], 'heat_flow')} at two openings, "
        f"{show(kept[1], 'heat_flow')} at forty.",
    }


@register(lesson_04.wind)
def _wind(units):
    show = writer(units)
    factor = partial(lesson_04.leak_factor, inside=INSIDE)
    start = factor(1.0, outside=NIGHT)
    twice = next(v for v in np.arange(1.0, 20.0, 0.05) if factor(v, outside=NIGHT) >= 2 * start)
    cold = _slider(lesson_04.wind, "outside").low
    still = [factor(0.0, outside=t) * (INSIDE - t) for t in (NIGHT, cold)]
    return {
        "Find": f"A wind of some {show(twice, 'speed')}.",
        "Push": f"Yes, by {still[1] / still[0] - 1:.0%} from {show(NIGHT, 'temperature')} to "
        f"{show(cold, 'temperature')}: more air comes in, and each bit of it is colder.",
        "Why": "In light wind warm air does the pushing, and it pushes the same in any wind. In strong wind the wind "
        "takes over.",
    }


@register(lesson_04.door)
def _door(units):
    show, film = writer(units), lesson_04.rival_saving("film", NIGHT)
    short, long = (film / lesson_04.lobby_saving(seconds, NIGHT) for seconds in (10.0, 30.0))
    mild = lesson_04.rival_saving("film", -5.0) / lesson_04.lobby_saving(10.0, -5.0)
    return {
        "Find": f"{short:.1f} openings an hour.",
        "Push": f"It falls to {long:.1f}: the longer the door stands open, the sooner a lobby wins.",
        "Why": f"At {show(-5, 'temperature')} the two are equal only at {mild:.0f} openings. In mild air less comes in "
        "by the door, and each bit costs less; the panes have only the second reason.",
    }


@register(lesson_05.air_map)
def _air(units):
    show, pressure = writer(units), lesson_05.PRESSURE
    dew = float(dew_point(10.0, 0.85, pressure))
    cold = _slider(lesson_05.air_map, "outside").low
    left = 1000 * float(humidity_ratio(cold, 1.0, pressure))
    dry = float(relative_humidity(10.0, left / 1000, pressure))
    steps = [
        1000 * float(saturation_humidity_ratio(t + 10, pressure) - saturation_humidity_ratio(t, pressure))
        for t in (0.0, 10.0)
    ]
    return {
        "Find": f"At {show(dew, 'temperature')}, the dew point inside.",
        "Push": f"{left:.1f} parts in 1000. Warmed to {show(10, 'temperature')} that is {dry:.0%} relative humidity.",
        "Why": f"Each degree makes more room than the one before. From {show(0, 'temperature')} to "
        f"{show(10, 'temperature')} the most grows by {steps[0]:.1f} parts, from there to {show(20, 'temperature')} by "
        f"{steps[1]:.1f}.",
    }


@register(lesson_05.pane)
def _pane(units):
    show, pressure = writer(units), lesson_05.PRESSURE
    surface = float(pane_surface_temperature(3.3, 18.0, -5.0))
    driest = float(humidity_ratio(surface, 1.0, pressure)) / float(humidity_ratio(18.0, 1.0, pressure))
    return {
        "Find": f"About {driest:.0%}: then the dew point is at {show(surface, 'temperature')}, as cold as the sheet.",
        "Push": "No pane does. At 100% the air itself is at its dew point, and every pane is a little colder than the "
        "air.",
        "Why": "From there on drops form, and they give the pane the heat that once made them vapour.",
    }


@register(lesson_05.house)
def _damp(units):
    show = writer(units)
    bills = {n / 100: lesson_05._bill(INSIDE, n / 100, NIGHT, 0.35)[1] for n in range(30, 101)}
    dry = max(humidity for humidity, bill in bills.items() if bill.watts("wet_panes") <= 0.5)
    few, many = (lesson_05._bill(INSIDE, 0.85, NIGHT, rate)[1] for rate in (0.35, 4.0))
    cold, warm = (1000 * float(humidity_ratio(t, 0.85, lesson_05.PRESSURE)) for t in (INSIDE, 20.0))
    return {
        "Find": f"At {dry:.0%} and less.",
        "Push": f"The cracks' and the vapour's: {show(few.watts('leaks'), 'heat_flow')} grow to "
        f"{show(many.watts('leaks'), 'heat_flow')}, and vapour from {show(few.watts('vapour_leaks'), 'heat_flow')} to "
        f"{show(many.watts('vapour_leaks'), 'heat_flow')}. In truth the air would dry, and the vapour fall.",
        "Why": f"At the same per cents air of {show(20, 'temperature')} carries {warm:.0f} parts of water in 1000, air "
        f"of {show(INSIDE, 'temperature')} only {cold:.1f}.",
    }
