"""What the tasks beside the live views of lessons 6 to 10 come to: folded below each view, always computed."""

from bisect import bisect_left
from functools import lru_cache
from itertools import pairwise

import numpy as np
from scipy.optimize import brentq

from heatlib.classroom.answers import register, stops, writer
from heatlib.classroom.views import heat_besides, lesson_06, lesson_07, lesson_08, lesson_09, lesson_10, map_of_drums
from heatlib.ground import soil_diffusivity, soil_temperature, wave_lag
from heatlib.house.bill import loss_bill
from heatlib.house.demo import DESIGN_NIGHT, demo_house
from heatlib.house.nodes import sun_shares

NIGHT, INSIDE = DESIGN_NIGHT["coldest"], 2.0
ARM = 0.7
"""An arm's length [m]."""


def _first(values, holds):
    """Return the first of rising values that holds, where all after it hold as well."""
    return values[bisect_left(values, True, key=holds)]


def _lowest(values, of):
    """Return the value of the lowest ``of``, which falls and then rises along the values."""
    return _first(values[:-1], lambda value: of(values[values.index(value) + 1]) >= of(value))


@register(lesson_06.floor_and_edge)
def _edge(units):
    show, bare = writer(units), lesson_06.floor_house(edge_depth=0.0)
    even = brentq(lambda t: loss_bill(bare, t, NIGHT).watts("ground"), 1.0, 17.0, xtol=0.01)
    depths = stops(lesson_06.floor_and_edge, "edge_depth", units)
    totals = [loss_bill(lesson_06.floor_house(edge_depth=d), INSIDE, NIGHT).total for d in depths]
    saved = [a - b for a, b in pairwise(totals)]
    most = int(np.argmax(saved))
    return {
        "Find": f"About {show(even, 'temperature')}: as warm as the soil far below.",
        "Push": f"The step from {show(depths[most], 'length')} to {show(depths[most + 1], 'length')}: it saves "
        f"{show(saved[most], 'heat_flow')}. The last step saves {show(saved[-1], 'heat_flow', 1)}.",
        "Why": "Heat runs from warm to cold. The soil far below hardly changes from night to night. So it "
        "depends on the house alone which of the two is the warmer one.",
    }


@register(lesson_06.soil_year)
def _soil(units):
    show, place = writer(units), demo_house().place
    spread = soil_diffusivity("soil_moist")
    ground = (place.ground_mean, place.ground_swing, place.coldest_day, spread)

    def coldest(depth):
        return place.coldest_day + wave_lag(depth, spread) / 86400

    depths = stops(lesson_06.soil_year, "depth", units)
    spring = min(depths, key=lambda depth: abs(coldest(depth) - 120))
    least, most = (float(soil_temperature(depths[-1], coldest(depths[-1]) + half, *ground)) for half in (0, 182.6))
    christmas, late = (float(soil_temperature(ARM, day, *ground)) for day in (359, coldest(ARM)))
    return {
        "Find": f"{show(spring, 'length')} down it is coldest about {lesson_06.date_words(coldest(spring))}.",
        "Push": f"{show(depths[-1], 'length')} down it swings only between {show(least, 'temperature')} and "
        f"{show(most, 'temperature')}.",
        "Why": f"The cold needs time to get there: {show(ARM, 'length', 1)} down the soil is coldest about "
        f"{lesson_06.date_words(coldest(ARM))}, with {show(late, 'temperature')}. At Christmas it still has "
        f"{show(christmas, 'temperature')}.",
    }


@register(lesson_06.night_on_the_floor)
def _floor(units):
    show, lowest = writer(units), lesson_06.coldest_air
    open_soil = lowest("soil")
    foams = stops(lesson_06.night_on_the_floor, "foam", units)
    enough = next(foam for foam in foams if lowest("gravel_foam", foam) > open_soil)
    boards = lowest("boards_foam", foams[-1])
    covered = {floor: lowest(floor, sky="covered") for floor in lesson_06.FLOORS}
    best = max(covered, key=covered.get)
    return {
        "Find": f"{show(enough, 'thickness')} of foam.",
        "Push": f"No. With {show(foams[-1], 'thickness')} of foam the air still falls to "
        f"{show(boards, 'temperature')}, over bare soil to {show(open_soil, 'temperature')}. "
        "Boards have no heat to give back.",
        "Why": f"There was no sun to keep, so what counts is the old heat of the ground. The best floor is then "
        f"{lesson_06.FLOORS[best]}, with {show(covered[best], 'temperature')}. Foam would bar the way up.",
    }


@register(lesson_07.pane_by_month)
def _pane(units):
    show = writer(units)
    tilts = stops(lesson_07.pane_by_month, "tilt", units)
    january = {tilt: lesson_07.pane_sun("south", tilt)[1][0] for tilt in tilts}
    best = max(january, key=january.get)
    grey = [lesson_07.pane_sun(side, cloud=1.0)[1][11] for side in lesson_07.FACING]
    struck = lesson_07.pane_sun("south")[0]
    return {
        "Find": f"About {best:.0f}°, with {show(january[best], 'irradiation', 3)}. Upright it is "
        f"{show(january[90.0], 'irradiation', 3)}: hardly less.",
        "Push": f"It no longer matters: whichever way the pane looks, {show(min(grey), 'irradiation')} come through.",
        "Why": f"The high sun only grazes it. In June {show(struck[5], 'irradiation')} strike the pane, in December "
        f"{show(struck[11], 'irradiation')}; and of light that comes aslant the pane throws more back.",
    }


@register(lesson_07.sun_in_the_house)
def _house_sun(units):
    show, grass, snow = writer(units), lesson_07.house_sun(), lesson_07.house_sun(ground="snow_fresh")
    more = {part: snow[part][1] - grass[part][1] for part in grass}
    most = max(more, key=more.get)
    names = {"roof": "the roof", "wall": "the south wall", "ends": "the two ends"}
    total, shaded = (sum(lesson_07.house_sun(tree=tree).values()) for tree in ("none", "south"))
    free = [month for month in range(1, 7) if 1 - shaded[month - 1] / total[month - 1] < 0.005]
    return {
        "Find": f"{show(sum(more.values()), 'energy')}. Of it {show(more[most], 'energy')} come through {names[most]}, "
        f"and only {show(more['roof'], 'energy', 1)} through the roof, which hardly sees the ground.",
        "Push": f"From {lesson_07.MONTHS[free[0] - 1]} to {lesson_07.MONTHS[free[-1] - 1]} it takes nothing.",
        "Why": "By the time it has leaves, the noon sun passes over it. In winter the sun stands so low that it has to "
        "come through the crown, and bare twigs take a part of it.",
    }


@register(lesson_07.where_it_lands)
def _landing(units):
    show, ground = writer(units), "snow_old"

    @lru_cache
    def case(catcher, share):
        return lesson_07.winter_night(catcher, share, ground)

    def lowest(catcher, share):
        return float(case(catcher, share).air[-144:].min())

    shares = stops(lesson_07.where_it_lands, "struck", units)
    enough = next(share for share in shares if lowest("drums_black", share) > 0)
    kept = sun_shares(case("drums_white", shares[-1]).house)["drums"]
    days = [float(case(catcher, 0.45).air.max()) for catcher in ("wall_black", "drums_black")]
    nights = [lowest(catcher, 0.45) for catcher in ("wall_black", "drums_black")]
    return {
        "Find": f"About {enough:.0%}.",
        "Push": f"{kept:.0%} of all the sun that comes in; most of what meets them they throw on.",
        "Why": f"Brick holds less heat than water for each degree. Its face gets hot and warms the air by day, to "
        f"{show(days[0], 'temperature')} in place of {show(days[1], 'temperature')}. So less is left for the night: "
        f"{show(nights[0], 'temperature')} in place of {show(nights[1], 'temperature')}.",
    }


@register(lesson_08.night)
def _night(units):
    show, course_of, coldest = writer(units), lesson_08.course_of, lesson_08.coldest_air
    limit = demo_house().limits.minimum
    enough = _first(range(41), lambda drums: coldest(course_of(drums)) >= limit)
    clear, grey = coldest(course_of()), coldest(course_of(cloud=1.0))
    return {
        "Find": f"{enough} drums.",
        "Push": f"The air falls to {show(grey, 'temperature')} in place of {show(clear, 'temperature')}: all days "
        "before were covered as well, so nothing has filled the stores.",
        "Why": "The curtain has just opened. For a while the bare panes lose more than the low sun brings.",
    }


@register(lesson_08.hour)
def _hour(units):
    show, course = writer(units), lesson_08.course_of()
    end = course.weather.time[-1] - (lesson_08.LAST - lesson_08.FIRST) * 3600

    def filled(half_hours):
        flows = lesson_08.flows_of_hour(course, end + half_hours * 1800.0)
        return sum(flow.watts for flow in flows if flow.place == "stores")

    turn = next(n for n in range(12, 40) if filled(n) < 0)
    empty, full = (float(lesson_08.course_of(n).air[int((end + turn * 1800) / course.step)]) for n in (0, 9))
    return {
        "Find": f"About {lesson_08.clock_words(lesson_08.FIRST + turn / 2)}.",
        "Push": f"Without drums the air has {show(empty, 'temperature')} then, with nine of them "
        f"{show(full, 'temperature')}: the sun that would fill the drums has warmed the air instead.",
        "Why": "The sun shines on the drums themselves and makes them warmer than the air. So they take from the sun "
        "and give to the air at the same time.",
    }


@register(lesson_08.logged)
def _logged(units):
    leaks, skins = (stops(lesson_08.logged, name, units) for name in ("leaks", "skin"))
    own = demo_house(8).air.air_change_rate

    @lru_cache
    def off(leak, skin=1.0):
        """Tell how far the line lies from the dots, in the words of the view."""
        return lesson_08.logged(leak, skin, True, units=units).numbers["off the readings"]

    best = _lowest(leaks, lambda leak: float(off(leak).split()[0]))
    return {
        "Find": f"The air changes. At {best:.1f} in an hour the line lies {off(best)} off the dots.",
        "Push": f"Not nearer than {off(own, skins[0])}, at {skins[0]:.0%}, in place of {off(own)}.",
        "Why": "Both let the house cool faster, and on one calm night that is all the readings show. A windy night "
        "tells them apart: wind drives leaks, and hardly anything else.",
    }


@register(lesson_09.pipe)
def _pipe(units):
    show, through = writer(units), lesson_09.through
    long = next(x for x in stops(lesson_09.pipe, "length", units) if through("july", length=x).ntu >= 3)
    flow = stops(lesson_09.pipe, "flow", units)[-1]
    now, fast = through("july"), through("july", flow=flow)
    wide, thin = through("july", count=4, diameter=0.2), through("july", count=16, diameter=0.1)
    return {
        "Find": f"About {show(long, 'length')}: there the pipe has three transfer units.",
        "Push": f"With {show(flow, 'air_flow')} they take {show(fast.heat, 'heat_flow')} in place of "
        f"{show(now.heat, 'heat_flow')}, and the air comes back with {show(fast.outlet, 'temperature', 3)} in place of "
        f"{show(now.outlet, 'temperature', 3)}. But the fan draws {show(fast.fan_power, 'electric_power')} in place of "
        f"{show(now.fan_power, 'electric_power')}.",
        "Why": f"They have more wall. Sixteen pipes of {show(0.1, 'thickness')} pass as much air as four of "
        f"{show(0.2, 'thickness')}, behind twice the wall: {show(thin.heat, 'heat_flow')} in place of "
        f"{show(wide.heat, 'heat_flow')}.",
    }


@register(lesson_09.day)
def _hot_day(units):
    show, limit = writer(units), demo_house(9).limits.maximum
    most = int(stops(lesson_09.day, "count", units)[-1])

    def peak(flow):
        return lesson_09.hottest(lesson_09.course_of("july", most, flow, 0.6, 22.0))

    def winter(count):
        course = lesson_09.course_of("january", count, 0.15, 0.6, 22.0, True, below=lesson_09.COLD)
        return course, show(lesson_09._coldest(course), "temperature")

    air = _first(stops(lesson_09.day, "flow", units), lambda flow: peak(flow) < limit)
    (six, night), (many, cold) = winter(6), winter(most)
    soils = [show(float(course.layers["pipes"][0][-72]), "temperature") for course in (six, many)]
    house, own = demo_house(9), lesson_09.bed()
    needed, floor = (show(area, "area") for area in (most * own.length * own.spacing, house.floor.area))
    spring = lesson_09.course_of("april", 6, 0.15, 0.6, 22.0)
    midnight = int(np.argmin(np.abs(lesson_09._hours(spring) - 24.0)))
    down = show(float(spring.exchange["pipes"][midnight]), "heat_flow")
    return {
        "Find": f"One of them: {most} pipes and {show(air, 'air_flow')} of air. {most} pipes with the air of the "
        f"club's fan still let it reach {show(peak(0.15), 'temperature', 3)}.",
        "Push": f"More is not better: six pipes keep the coldest air at {night}, {most} pipes at {cold}, none at "
        f"{winter(0)[1]}. {most} pipes need {needed} of ground, and the house stands on {floor}: the rest lie beside "
        f"it. The soil round six pipes has {soils[0]} in the morning, round {most} it has {soils[1]}.",
        "Why": f"The fan runs as long as the house is warm, and in April the soil stays cooler than the air nearly "
        f"till morning. At midnight the pipes still take {down}. What they took down is in the soil then, and comes "
        "back slowly through the floor.",
    }


@register(lesson_09.house)
def _pipes_hour(units):
    show, course = writer(units), lesson_09.course_of("july", 6, depth=0.6, starts=22.0)
    hours = lesson_09._hours(course)
    shown = (hours >= lesson_09.FIRST) & (hours < lesson_09.FIRST + 24)

    def clock(values):
        return lesson_08.clock_words(round(2 * float(hours[np.argmax(np.where(shown, values, -np.inf))])) / 2)

    taken = course.exchange["pipes"]
    turned = next(h for h, watts in zip(hours, taken) if h > 20 and watts < 0)
    bare = lesson_09.course_of("july", 0, depth=0.6, starts=22.0)
    hottest = round(2 * float(hours[np.argmax(np.where(shown, course.air, -np.inf))])) / 2
    at = course.weather.time[-1] - (lesson_09.LAST - hottest) * 3600
    vents = [sum(f.watts for f in lesson_08.flows_of_hour(one, at) if f.place == "leaks") for one in (course, bare)]
    return {
        "Find": f"They take most about {clock(taken)}, and it is hottest about {clock(course.air)}.",
        "Push": f"At the hottest hour leaks and vents carry off {show(vents[1], 'heat_flow', 3)} without pipes, "
        f"{show(vents[0], 'heat_flow', 3)} with them.",
        "Why": f"About {lesson_08.clock_words(round(float(turned)))} the air has become cooler than the soil round the "
        "pipes, which a day of sun has warmed. From then on the same fan brings heat up.",
    }


@register(lesson_10.night)
def _whole_night(units):
    show, limit = writer(units), lesson_10.LIMITS["greens"]
    enough = _first(range(41), lambda drums: lesson_10.night_of(drums, 0.0).lowest >= limit)
    heater = _first(stops(lesson_10.night, "power", units), lambda power: lesson_10.night_of(0, power).lowest >= limit)
    most = stops(lesson_10.night, "leaks", units)[-1]
    leaky, bare = lesson_10.night_of(9, 0.0, leaks=most), lesson_10.night_of(9, 0.0, curtain=False)
    worse = "The leaks" if leaky.lowest < bare.lowest else "The open curtain"
    return {
        "Find": f"{enough} drums. Without any drum it takes {show(heater, 'electric_power', 3)}.",
        "Push": f"{worse}. With {most:.1f} air changes the air falls to {show(leaky.lowest, 'temperature')}, without "
        f"the curtain to {show(bare.lowest, 'temperature')}.",
        "Why": "Just then the bare panes lose more than the low sun brings.",
    }


@register(lesson_10.choices)
def _map(units):
    show, known = writer(units), lesson_10.drum_map("design", lesson_10.LIMITS["greens"])
    drums = lesson_10.COLUMNS

    def cheapest(price):
        costs = [lesson_10._winter_cost(n, heat, 15, price) for n, heat in zip(drums, known.heats)]
        best = int(np.argmin(costs))
        return drums[best], f"{drums[best]} drums with {show(known.least[best], 'electric_power', 3)}".replace(
            "with 0 W", "and no heater"
        )

    (few, now), (more, dear) = cheapest(0.2), cheapest(0.4)
    cold = lesson_10.night_of(drums[-1], 0.0, lesson_10.LIMITS["seedlings"]).lowest
    enough = next(n for n, watts in zip(drums, known.least) if watts == 0)
    warm = lesson_10.drum_map("design", lesson_10.LIMITS["seedlings"]).least
    first, last = warm[0] - warm[1], warm[-2] - warm[-1]
    more_heat = map_of_drums.column(drums[-1], "design", lesson_10.LIMITS["seedlings"])[1]
    return {
        "Find": f"{now[0].upper()}{now[1:]}. At twice the price it "
        + (f"moves to {dear}." if more != few else "stays there."),
        "Push": f"The air falls to {show(cold, 'temperature')}. A heater of {show(more_heat, 'electric_power', 3)} is "
        "still needed.",
        "Why": f"With {enough} drums the greens need no heater, so more drums have nothing left to spare. The "
        f"seedlings always need one: the first {drums[1]} drums spare {show(first, 'electric_power')} of it, the last "
        f"{drums[-1] - drums[-2]} spare {show(last, 'electric_power')}.",
    }


@register(lesson_10.others)
def _others(units):
    show = writer(units)
    heaps = stops(lesson_10.others, "dry_mass", units)
    idle = _first(heaps, lambda dry: heat_besides.helped(dry, 200.0, 200.0)[1].heat < 3.6e4)

    def given(dry):
        return heat_besides.other_heat(dry, 0.0, 0.0, np.zeros(1))["compost heap"][0]

    full = _first(heaps, lambda dry: given(dry) > 0.999 * given(heaps[-1]))
    without, large = (heat_besides.helped(300.0, 200.0, lamp)[0].lowest for lamp in (0.0, 1000.0))
    return {
        "Find": f"A heap of {show(idle, 'mass', 3)}, dry.",
        "Push": f"From {show(full, 'mass', 3)} on it stops. The heap has more heat then than its radiator can hand to "
        "the air.",
        "Why": f"Air and panes let the evening's heat go within a few hours. Even {show(1000, 'electric_power')} of "
        f"light lift the coldest air only from {show(without, 'temperature')} to {show(large, 'temperature')}.",
    }
